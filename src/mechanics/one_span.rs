//! One span by the same elements as the conveyor: so that they can be held against closed forms.

use super::beam::element;
use super::solve::Matrix;

/// A span that begins square in the middle and ends at a pulley, without idlers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneSpan {
    /// Its length.
    pub length_m: f64,
    /// Bending stiffness of the belt.
    pub stiffness_nm2: f64,
    /// Pull.
    pub tension_n: f64,
    /// Skew of the pulley: the slope at which the belt enters it.
    pub enters_rad: f64,
    /// How the pulley bends the belt as it enters.
    pub bend_per_m: f64,
    /// A side force, and where it acts; it should fall on a node.
    pub force: Option<(f64, f64)>,
}

/// Most elements of a span.
pub const MOST_ELEMENTS: usize = 10_000;

impl OneSpan {
    /// How far off the belt enters the pulley once it has come to rest; by so many equal elements.
    ///
    /// `None` if there are none or too many of them, or the equations have no answer.
    pub fn off_m(&self, elements: usize) -> Option<f64> {
        if !(1..=MOST_ELEMENTS).contains(&elements) {
            return None;
        }
        let pitch = self.length_m / elements as f64;
        let parts = element(pitch, self.stiffness_nm2, self.tension_n);
        // Unknowns: both values of the nodes 1 to elements - 1, then the offset of the last.
        let size = 2 * elements - 1;
        let (first, last) = (2, 2 * elements + 1);
        let mut matrix = Matrix::new(size);
        let mut right = vec![0.0; size];
        for nth in 0..elements {
            for (of, row) in parts.iter().enumerate() {
                let at = 2 * nth + of;
                // The offset of the last node has no equation of its own: its slope's load is what the pulley gives.
                let equation = match at {
                    at if at < first || at == last - 1 => continue,
                    at if at == last => size - 1,
                    at => at - first,
                };
                for (on, part) in row.iter().enumerate() {
                    let value = 2 * nth + on;
                    if value == last {
                        *right.get_mut(equation)? -= part * self.enters_rad;
                    } else if value >= first {
                        matrix.add(equation, value - first, *part);
                    }
                }
            }
        }
        *right.last_mut()? += self.stiffness_nm2 * self.bend_per_m;
        if let Some((at_m, force_n)) = self.force {
            let node = (at_m / pitch).round();
            if !(node >= 1.0 && node < elements as f64) {
                return None;
            }
            *right.get_mut(2 * node as usize - first)? += force_n;
        }
        matrix.factor()?.solve(&mut right, &mut Vec::new());
        right.last().copied().filter(|off| off.is_finite())
    }
}
