//! The points of making a machine dead and of giving it back: their words and their pages.

use super::page::{Page, Screen};
use crate::stream::paint::Ink;
use crate::trade::TakeUp;

/// One point to be confirmed by eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ConfirmPoint {
    /// What to have done.
    pub ask: &'static str,
    /// How it is confirmed.
    pub by: Confirmed,
    /// What a yes means.
    pub means: &'static str,
}

/// How a point is confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confirmed {
    /// By choosing this answer.
    Yes(&'static str),
    /// By a word that only whoever did it knows.
    Word {
        /// What to type.
        say: &'static str,
        /// An example.
        such_as: &'static str,
    },
}

/// The points before any work by hand, in the order in which they are done.
pub const ISOLATE: [ConfirmPoint; 7] = [
    ConfirmPoint {
        ask: "STOPPED: was the belt stopped by the site's procedure, and does it stand still?",
        by: Confirmed::Yes("Yes, it stands still"),
        means: "The control room knows, the feed is off, and you see the belt stand still.",
    },
    ConfirmPoint {
        ask: "ISOLATED: is every source of energy off at its own isolator?",
        by: Confirmed::Yes("Yes, every one"),
        means: "Drive, feeders above, take-up winch, cleaners, hydraulics, air: each off at its own isolator. A stop button or pull cord does not count.",
    },
    ConfirmPoint {
        ask: "LOCKED: has everybody hung a lock of their own?",
        by: Confirmed::Word { say: "Type whose lock is on, and where.", such_as: "MK, isolator 4" },
        means: "Everybody who works on the machine, you too. Each keeps their own key in their own pocket.",
    },
    ConfirmPoint {
        ask: "TAGGED: does a tag on each lock say who, when and why?",
        by: Confirmed::Yes("Yes, tagged"),
        means: "Anybody can then read whose lock it is, and that people are at work.",
    },
    ConfirmPoint {
        ask: "STORED ENERGY: is all of it released or blocked?",
        by: Confirmed::Word { say: "Type what holds it.", such_as: ISOLATE_STORED },
        means: "Take-up weight pinned or hung. Winch slack. Tight belt slackened, or held in rated clamps. Belt and load on a slope blocked both ways. Springs and hung-up material down.",
    },
    ConfirmPoint {
        ask: "TRIED: reset cords and interlocks, go to local control, press start.",
        by: Confirmed::Word { say: "Type what it did.", such_as: "nothing moved" },
        means: "Everybody clear first. A tripped cord or an open interlock proves nothing, so reset them before you try. Nothing moves? Put the control back to stop.",
    },
    ConfirmPoint {
        ask: "LOOKED AGAIN: after the try, does every block, pin and clamp still hold?",
        by: Confirmed::Yes("Yes, all hold"),
        means: "A try can shift what held before. Look at each block once more.",
    },
];

/// The same for a conveyor of which the take-up is known: what has no weight is not asked about one.
pub fn isolate_points(take_up: Option<TakeUp>) -> [ConfirmPoint; 7] {
    let weightless = matches!(take_up, Some(TakeUp::Screw | TakeUp::None));
    ISOLATE.map(|point| match point.by {
        Confirmed::Word { say, such_as } if weightless && such_as == ISOLATE_STORED => ConfirmPoint {
            by: Confirmed::Word { say, such_as: "belt slack, chocks at the tail" },
            means: "Tight belt slackened, or held in rated clamps. Belt and load on a slope blocked both ways. Springs and hung-up material down.",
            ..point
        },
        _ => point,
    })
}

/// What is confirmed again while the locks stay on and the belt's pull was changed: that they are on, what holds the belt
/// now, and that it holds. Stored energy that can come back is checked until the work is done (29 CFR 1910.147(d)(5)(ii)).
pub fn look_again_points(take_up: Option<TakeUp>) -> Vec<ConfirmPoint> {
    let stored = isolate_points(take_up).into_iter().filter(|point| is_stored(point.ask));
    let locked = ConfirmPoint {
        ask: "LOCKED: is everybody's own lock still on, and their tag?",
        by: Confirmed::Yes("Yes, all on"),
        means: "Nobody has taken a lock off since every point was confirmed. If one is off: Not yet, then stop here with s, and lock out anew.",
    };
    let holds = ConfirmPoint {
        ask: "LOOKED AGAIN: does every block, pin and clamp hold the belt as it is now?",
        by: Confirmed::Yes("Yes, all hold"),
        means: "Go to each one and look. What was slackened may pull elsewhere now. The push can build up again.",
    };
    std::iter::once(locked).chain(stored).chain([holds]).collect()
}

fn is_stored(ask: &str) -> bool {
    ask.starts_with("STORED ENERGY")
}

/// What may hold the stored energy, as an example.
const ISOLATE_STORED: &str = "pins in the weight frame";

/// The points before any restart, up to the start warning.
const BACK: [ConfirmPoint; 5] = [
    ConfirmPoint {
        ask: "BLOCKS: are pins, chains and clamps off wherever the belt must move?",
        by: Confirmed::Yes("Yes, off, slowly"),
        means: "Take them off slowly, from the side, with nobody in line. Leave on what this move needs.",
    },
    ConfirmPoint {
        ask: "TOOLS AND GUARDS: are all tools out, and every guard back on?",
        by: Confirmed::Word {
            say: "Type which guard went on last, or \"none off\".",
            such_as: "tail guard",
        },
        means: "Every guard that was taken off is back and bolted, also for a short move.",
    },
    ConfirmPoint {
        ask: "PEOPLE: is everybody counted and clear?",
        by: Confirmed::Word { say: "Type how many and who.", such_as: "2, MK and me" },
        means: "Nobody on, under or inside, along the whole length.",
    },
    ConfirmPoint {
        ask: "UNLOCKED: has everybody taken off their own lock and tag?",
        by: Confirmed::Yes("Yes, each their own"),
        means: "Each lock comes off by the hand that hung it. Then the energy goes back on by the site's procedure.",
    },
    ConfirmPoint {
        ask: "WARNING: did the start warning sound, with time to get clear?",
        by: Confirmed::Yes("Yes, sounded"),
        means: "If the belt has not started within 30 seconds (30 CFR 57.14201), warn again.",
    },
];

/// The points of giving back with the belt watched, and with the belt moved on a short way.
pub const WATCH: [ConfirmPoint; 6] = ended_by(ConfirmPoint {
    ask: "RUNNING: does it run, and did you watch three full belt turns from outside the guards?",
    by: Confirmed::Yes("Yes, watched"),
    means: "Empty first if the site can. Stand clear, with a way to stop it.",
});
/// The same for a short move.
pub const MOVE: [ConfirmPoint; 6] = ended_by(ConfirmPoint {
    ask: "MOVED: was the belt moved as ordered, and does it stand still again?",
    by: Confirmed::Yes("Yes, it stands still"),
    means: "By the site's procedure, with everybody outside the guards. Every point of the lock-out is confirmed again before hands go near.",
});

const fn ended_by(last: ConfirmPoint) -> [ConfirmPoint; 6] {
    let [blocks, guards, people, unlocked, warning] = BACK;
    [blocks, guards, people, unlocked, warning, last]
}

/// Whether a word was typed by somebody who had to think of it: more than one letter held down or a yes.
pub fn is_word(typed: &str) -> bool {
    const NO_WORDS: &[&str] =
        &["yes", "yep", "ok", "okay", "ja", "si", "oui", "done", "all", "yes yes"];
    let letters: Vec<char> = typed.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    let differs = letters.iter().any(|c| Some(c) != letters.first());
    differs
        && letters.iter().any(|c| c.is_alphabetic())
        && !NO_WORDS.contains(&typed.trim().to_lowercase().as_str())
}

/// Said before the points of isolation.
pub fn isolate(screen: Screen, what_for: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Lock out first").para(what_for);
    page.para(
        "Each yes means: I have just seen it myself, here. The program sees nothing. It cannot know whether the machine is safe. These answers are not saved. You are asked again after every restart and every break.",
    );
    page.finish()
}

/// Said before what holds the belt is looked at again.
pub fn look_again(screen: Screen, what_for: &str) -> String {
    let mut page = Page::new(screen);
    page.title("What holds the belt now?").para(what_for);
    page.para("The locks stay on. The belt's pull has changed, so look again at what holds it. Each yes means: I have just seen it myself, here.");
    page.finish()
}

/// Said before the points of giving back.
pub fn give_back(screen: Screen, what_for: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Give the machine back").para(what_for);
    page.finish()
}

/// Said before the belt is moved in the middle of a job.
pub fn move_belt(screen: Screen, title: &str, order: &str) -> String {
    let mut page = Page::new(screen);
    page.title(title).para(order).para_in(
        Ink::Warn,
        "Nobody is at the belt while it moves. First give the machine back, point by point. Afterwards lock it out again.",
    );
    page.finish()
}

/// Said when a point is not confirmed.
pub fn not_yet(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.para_in(Ink::Warn, "Not yet, so nothing goes on. Do it or have it done, then answer again. Or stop here with s.");
    page.finish()
}

/// Said when something was typed that nobody had to think of.
pub fn no_word(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.para_in(Ink::Warn, "Say it in a word or two of your own. A yes, a single key or the same word again is not enough. If it is not done yet, type n.");
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::{Confirmed, ISOLATE, MOVE, WATCH, is_word, isolate_points};
    use crate::trade::TakeUp;

    #[test]
    fn where_screws_hold_the_belt_no_weight_is_asked_about() {
        let words = |take_up| format!("{:?}", isolate_points(take_up));
        assert!(!words(Some(TakeUp::Screw)).contains("weight"));
        for weighted in [None, Some(TakeUp::Gravity), Some(TakeUp::Carriage)] {
            assert!(words(weighted).contains("weight pinned"), "{weighted:?}");
        }
    }

    #[test]
    fn a_key_held_down_is_no_word() {
        for typed in ["", " ", "1", "11111111", "nnnn", "y", "yes", "OK", "....", "1 1 1", "12"] {
            assert!(!is_word(typed), "{typed}");
        }
        for typed in ["MK, isolator 4", "pins", "no move", "2 us", "T4"] {
            assert!(is_word(typed), "{typed}");
        }
    }

    #[test]
    fn trying_comes_after_stored_energy_and_three_points_want_a_word() {
        let at = |word: &str| ISOLATE.iter().position(|point| point.ask.starts_with(word));
        assert!(at("STORED ENERGY") < at("TRIED"));
        let words =
            ISOLATE.iter().filter(|point| matches!(point.by, Confirmed::Word { .. })).count();
        assert_eq!(words, 3);
        for walk in [WATCH, MOVE] {
            let warned = walk.iter().position(|point| point.ask.starts_with("WARNING"));
            assert_eq!(warned, Some(4));
            assert!(walk.iter().all(|point| !point.means.is_empty()));
        }
    }
}
