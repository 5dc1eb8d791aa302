//! How soon and how well two books find the cause, on the same visits drawn from the old one.

use super::draw::{self, Drawn, On};
use super::paired::{Against, Came};
use super::walk::{self, Played, Policy};
use super::workers;
use crate::rulebook::model::Book;
use crate::visit::Diagnosis;

/// Plays the same visits with both books, by the program's own way. `progress` is told how many are through.
pub fn against(
    old: &Book,
    new: &Book,
    (visits, seed): (usize, u64),
    on: On<'_>,
    progress: &mut dyn FnMut(usize),
) -> Against {
    let played: Vec<Option<(Came, Came)>> = workers::share_out(
        visits,
        || (Diagnosis::new(old), Diagnosis::new(new)),
        |(old, new), number| {
            let drawn = Drawn::new(old.engine(), old.book(), on, seed, number)?;
            let here = drawn.in_other(old.book(), new.book());
            // A cause that the new book does not know cannot be found with it: that is no matter of luck.
            (here.present.len() == drawn.present.len()).then(|| {
                let play = |diagnosis: &Diagnosis<'_>, drawn: &Drawn| {
                    came(&walk::play(diagnosis, drawn, Policy::OWN, &mut draw::rng(!seed, number)))
                };
                (play(old, &drawn), play(new, &here))
            })
        },
        progress,
    );
    let left_out = played.iter().filter(|pair| pair.is_none()).count();
    Against::of(&played.into_iter().flatten().collect::<Vec<_>>(), left_out)
}

fn came(played: &Played) -> Came {
    Came {
        right_first: played.right_at == Some(0),
        right_in_three: played.right_at.is_some_and(|at| at < 3),
        ran_true: played.cured,
        minutes: played.minutes,
    }
}
