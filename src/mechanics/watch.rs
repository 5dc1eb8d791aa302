//! Looking at the running belt: station by station, as each mark of the belt goes by.

use super::laid_out;
use super::line::Run;
use super::march::March;
use super::wrong::{Reason, Wrong};
use crate::trade::End;
use crate::trade::Strand;

/// Most marks on the belt.
pub const MOST_MARKS: usize = 1_000;

/// One turn of the belt, as seen from the stations.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// Per carry idler, from the tail: the offset to the left as each mark goes by.
    pub carry: Vec<Vec<f64>>,
    /// Per return roll, from the tail.
    pub ret: Vec<Vec<f64>>,
    /// Where the belt enters the tail pulley.
    pub tail: Vec<f64>,
    /// Where it enters the head pulley.
    pub head: Vec<f64>,
    /// Where on the belt the marks are: metres behind mark 0, which is the first.
    pub marks_m: Vec<f64>,
}

/// The mean of a row, and how far it swings from one extreme to the other.
pub fn mean_and_swing(row: &[f64]) -> (f64, f64) {
    let mean = row.iter().sum::<f64>() / row.len().max(1) as f64;
    let most = row.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = row.iter().copied().fold(f64::INFINITY, f64::min);
    (mean, if row.is_empty() { 0.0 } else { most - least })
}

/// One place that is looked at.
struct Post {
    strand: Strand,
    node: usize,
    place_m: f64,
    seen: Vec<f64>,
}

impl March<'_> {
    /// Marches one turn of the belt on, and looks at so many marks, evenly round the belt, at every station.
    ///
    /// # Errors
    /// As for [`March::step`], and if there are no marks or too many.
    pub fn watch(&mut self, marks: usize) -> Result<Watched, Wrong> {
        if !(1..=MOST_MARKS).contains(&marks) {
            return Err(Wrong::new(
                Reason::OutOfBounds,
                "marks",
                format!("{marks} of them on the belt; the model takes 1 to {MOST_MARKS}"),
                "Give a number between.",
            ));
        }
        let pitch = self.round().belt_m / marks as f64;
        let mut posts = self.posts(marks);
        let mut before: Vec<f64> =
            posts.iter().map(|post| self.node_m(post.strand, post.node)).collect();
        for _ in 0..self.steps_a_turn() {
            let from = self.state().travelled_m();
            self.step()?;
            let to = self.state().travelled_m();
            for (post, old) in posts.iter_mut().zip(&mut before) {
                let now = self.node_m(post.strand, post.node);
                let (first, last) = ((from - post.place_m) / pitch, (to - post.place_m) / pitch);
                let mut mark = last.floor();
                while mark > first {
                    let share = (mark - first) / (last - first);
                    let nth = mark.rem_euclid(marks as f64) as usize;
                    if let Some(seen) = post.seen.get_mut(nth) {
                        *seen = *old + share * (now - *old);
                    }
                    mark -= 1.0;
                }
                *old = now;
            }
        }
        Ok(self.told(posts, marks))
    }

    fn posts(&self, marks: usize) -> Vec<Post> {
        let mut posts = Vec::new();
        for strand in [Strand::Carry, Strand::Return] {
            let path = self.case().path(strand);
            let last = path.nodes_m.len().saturating_sub(1);
            let nodes = path.stands.iter().map(|stand| stand.node).chain([last]);
            for node in nodes {
                let along = laid_out::at(&path.nodes_m, node);
                posts.push(Post {
                    strand,
                    node,
                    place_m: self.round().begin_m(strand) + along,
                    seen: vec![0.0; marks],
                });
            }
        }
        posts
    }

    fn told(&self, posts: Vec<Post>, marks: usize) -> Watched {
        let case = self.case();
        let backward = case.line().run == Run::Backward;
        let (mut carry, mut ret) = (Vec::new(), Vec::new());
        for mut post in posts {
            if backward && let Some(others) = post.seen.get_mut(1..) {
                // Run backward, the marks go by in the other order.
                others.reverse();
            }
            match post.strand {
                Strand::Carry => carry.push(post.seen),
                Strand::Return => ret.push(post.seen),
            }
        }
        let (of_carry, of_ret) = (carry.pop().unwrap_or_default(), ret.pop().unwrap_or_default());
        let (tail, head) = match case.entered(Strand::Carry) {
            End::Head => (of_ret, of_carry),
            End::Tail => (of_carry, of_ret),
        };
        for (strand, rows) in [(Strand::Carry, &mut carry), (Strand::Return, &mut ret)] {
            if case.path(strand).travel < 0.0 {
                rows.reverse();
            }
        }
        let pitch = self.round().belt_m / marks as f64;
        Watched {
            carry,
            ret,
            tail,
            head,
            marks_m: (0..marks).map(|nth| nth as f64 * pitch).collect(),
        }
    }
}
