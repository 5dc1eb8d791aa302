//! What is marked on the drawings of the belt: letters for what is hidden, numbers for the learner's moves.

use super::Debrief;
use crate::drill::frames::Frame;
use crate::show::drill::places::{self, Placed};

/// Marks beside each other stand so far apart, in the units of the drawing.
const APART: f64 = 17.0;

/// A mark on the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    /// What it is called there and below.
    pub(super) name: String,
    /// Whether it stands for something hidden, or else for a move.
    pub(super) hidden: bool,
    /// Where it is.
    pub(super) placed: Placed,
    /// What it is, in words.
    pub(super) words: String,
}

/// What is hidden and still there, a letter for each part. The letters stay the same all through a run.
pub(super) fn hidden(debrief: &Debrief<'_, '_>, put_right: &[bool]) -> Vec<Mark> {
    let drill = debrief.world.drill();
    let mut letters = ('A'..='Z').map(String::from).chain((27..).map(|nth| format!("A{nth}")));
    let mut marks = Vec::new();
    for (nth, hidden) in drill.hidden.iter().enumerate() {
        let gone = put_right.get(nth).copied().unwrap_or(false);
        for thing in &hidden.things {
            let name = letters.next().unwrap_or_default();
            if !gone {
                marks.push(Mark {
                    name,
                    hidden: true,
                    placed: places::of_thing(*thing, &drill.line),
                    words: debrief.names.thing(*thing),
                });
            }
        }
    }
    marks
}

/// The moves between two pictures that were made at a place; their numbers are those of the learner's way.
pub(super) fn moves(debrief: &Debrief<'_, '_>, before: usize, frame: &Frame) -> Vec<Mark> {
    let (world, drill) = (debrief.world, debrief.world.drill());
    let steps = world.steps().iter().enumerate();
    let between = steps.skip(before).take(frame.moves.saturating_sub(before));
    between
        .flat_map(|(nth, step)| {
            let words = debrief.names.did(world.book(), &step.what);
            places::of_move(&step.what, drill).into_iter().map(move |placed| Mark {
                name: (nth + 1).to_string(),
                hidden: false,
                placed,
                words: words.clone(),
            })
        })
        .collect()
}

/// Marks from left to right with where each is and where its name is written, so that no two names stand on each other
/// while there is room.
pub(super) fn spread(
    mut marks: Vec<(f64, &Mark)>,
    (from, to): (f64, f64),
) -> Vec<(f64, f64, &Mark)> {
    marks.sort_by(|one, other| one.0.total_cmp(&other.0));
    let room = (to - from) / marks.len().max(1) as f64;
    let apart = APART.min(room);
    let mut least = f64::NEG_INFINITY;
    let mut written: Vec<(f64, f64, &Mark)> = Vec::new();
    for (at, mark) in marks {
        let here = at.max(least);
        least = here + apart;
        written.push((at, here, mark));
    }
    // What went beyond the end is pushed back from there.
    let mut most = to;
    for (_, here, _) in written.iter_mut().rev() {
        *here = here.min(most);
        most = *here - apart;
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::End;

    #[test]
    fn names_keep_apart_and_stay_on_the_drawing() {
        let mark = Mark {
            name: String::new(),
            hidden: false,
            placed: Placed::At(End::Head),
            words: String::new(),
        };
        let at = |places: &[f64]| -> Vec<f64> {
            let marks = places.iter().map(|at| (*at, &mark)).collect();
            spread(marks, (0.0, 100.0)).into_iter().map(|(_, here, _)| here).collect()
        };
        assert_eq!(at(&[50.0, 50.0, 10.0]), [10.0, 50.0, 67.0]);
        assert_eq!(at(&[100.0, 100.0]), [83.0, 100.0]);
        let many = at(&[95.0; 10]);
        assert!(many.windows(2).all(|pair| pair[1] - pair[0] > 9.9), "{many:?}");
        assert!(many.iter().all(|here| (-0.1..=100.1).contains(here)), "{many:?}");
    }
}
