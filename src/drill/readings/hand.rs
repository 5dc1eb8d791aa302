//! A hand that reads a tool: never exactly, and only to the marks on it.

use fastrand::Rng;

use super::super::noise;

/// What a size is read with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tool {
    /// How far one reading may be off, SI.
    pub(super) off: f64,
    /// Marks on it per unit of SI.
    marks: f64,
}

// How far off each may be is common practice, no source, and agrees with what the gauges take it as.
/// Tape over a long way.
pub(super) const TAPE: Tool = Tool { off: 0.001, marks: 1_000.0 * 2.0 };
/// Steel rule, or steel tape pulled tight over a short way.
pub(super) const RULE: Tool = Tool { off: 0.000_5, marks: 1_000.0 * 10.0 };
/// Steel rule, the mean of several readings: what a splice or a pulley asks for, whose limits are less than a tape
/// can tell.
pub(super) const FINE: Tool = Tool { off: 0.000_2, marks: 1_000.0 * 20.0 };
/// Large calipers on a cylinder.
pub(super) const CALIPERS: Tool = Tool { off: 0.000_5, marks: 1_000.0 * 20.0 };
/// Where a heap of material ends.
pub(super) const HEAP: Tool = Tool { off: 0.005, marks: 1_000.0 };
/// An edge on a photograph.
pub(super) const EYE: Tool = Tool { off: 0.002, marks: 1_000.0 };
/// Feelers under a level.
pub(super) const FEELERS: Tool = Tool { off: 0.000_1, marks: 1_000.0 * 20.0 };
/// Dial on its stand.
pub(super) const DIAL: Tool = Tool { off: 0.000_05, marks: 1_000.0 * 100.0 };
/// Infrared thermometer.
pub(super) const INFRARED: Tool = Tool { off: 2.0, marks: 2.0 };
/// Watch.
pub(super) const WATCH: Tool = Tool { off: 0.2, marks: 10.0 };

/// The hand of one measurement.
#[derive(Debug)]
pub(super) struct Hand(Rng);

impl Hand {
    pub(super) fn new(rng: Rng) -> Self {
        Self(rng)
    }

    /// What is read of a size: off by a normally distributed error. What a reading may be off counts as three standard
    /// deviations, and none is further off: it would be read again.
    pub(super) fn reads(&mut self, tool: Tool, size: f64) -> f64 {
        let most = tool.off - 0.5 / tool.marks;
        let error = (tool.off / 3.0 * noise::normal(&mut self.0)).clamp(-most, most);
        ((size + error) * tool.marks).round() / tool.marks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_scatter_about_the_size_within_what_they_may_be_off() {
        let mut hand = Hand::new(noise::rng(1, "hand"));
        for tool in [TAPE, RULE, FINE, CALIPERS, FEELERS, DIAL, HEAP, EYE, INFRARED, WATCH] {
            let off: Vec<f64> = (0..4000).map(|_| hand.reads(tool, 1.2345) - 1.2345).collect();
            assert!(off.iter().all(|off| off.abs() <= tool.off + 1e-12), "{tool:?}");
            let mean = off.iter().sum::<f64>() / 4000.0;
            // Four standard errors, and what rounding to the marks may leave.
            assert!(
                mean.abs() < tool.off / 3.0 * 4.0 / 4000_f64.sqrt() + 0.5 / tool.marks,
                "{tool:?}"
            );
            assert!(off.iter().any(|off| off.abs() > 0.5 * tool.off), "{tool:?}");
        }
    }
}
