//! What the positions of both screws mean, and what to do about them.

use super::super::asked::{length, share};
use super::super::limits::shipped;
use super::super::{Amount, Basis, Figure, Kind, Setting, Verdict, Words, closer, tension};
use super::screws::Screws;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{Side, TakeUp};

/// No belt of any kind is strained more than this by its take-up.
const LARGEST_STRAIN: f64 = 0.04;
const TAPE: Basis = Basis::Derived("difference of the readings; their errors added as squares");

/// What is known of the belt, for the rise of its pull.
#[derive(Debug, Clone, Copy)]
pub(super) struct Belt {
    pub(super) centres_m: Option<f64>,
    pub(super) width_m: Option<f64>,
    pub(super) estimate: Option<tension::Estimate>,
    pub(super) load_n: Option<f64>,
    pub(super) kept: bool,
}

/// How much the sides differ, against the limit.
pub(super) fn lead(screws: &Screws, setting: &Setting) -> Figure {
    let what = match screws.nearer() {
        Some(nearer) => say!("The ", nearer, " bearing stands nearer the other end by"),
        None => say!("The bearings differ by"),
    };
    Figure::of("lead", what, Kind::Length, screws.lead_m().abs(), TAPE)
        .off_by(Kind::Length, screws.lead_error_m())
        .against(setting.limit(&shipped::TAKE_UP_LEAD))
}

/// The sentence that says it all.
pub(super) fn says(screws: &Screws, read: &Figure) -> Words {
    let lead = length(screws.lead_m().abs());
    match (read.verdict, screws.nearer()) {
        (Verdict::Beyond, Some(nearer)) => say!(
            "The ",
            nearer,
            " bearing stands ",
            lead,
            " nearer the other end: the ",
            nearer,
            " side is the slack one, and the belt runs to it."
        ),
        (Verdict::TooClose, _) => {
            let mut says = say!(
                "Too close to call: measure again. The take-up bearings differ by ",
                lead,
                "."
            );
            says.0.extend(closer(read, None).0);
            says
        }
        _ => say!("Both take-up bearings stand the same, within ", lead, "."),
    }
}

/// What was added since the last reading.
pub(super) fn since(
    screws: &Screws,
    belt: &Belt,
    figures: &mut Vec<Figure>,
    notes: &mut Vec<Words>,
) {
    let (Some(moved), Some((left, right))) = (screws.moved_m(), screws.before) else {
        return;
    };
    let error = screws.error_m;
    let middle = Basis::Derived("mean of both sides, now less before");
    let before = Screws { left_m: left, right_m: right, before: None, error_m: error };
    figures.push(
        Figure::of(
            "lead-before",
            say!("At the last reading they differed by"),
            Kind::Length,
            before.lead_m().abs(),
            TAPE,
        )
        .off_by(Kind::Length, before.lead_error_m()),
    );
    figures.push(
        Figure::of(
            "moved",
            say!("The pulley has moved out since then by"),
            Kind::Length,
            moved,
            middle,
        )
        .off_by(Kind::Length, error),
    );
    if belt.kept {
        notes.push(say!("The take-up follows the belt by itself: its movement shows stretch and creep, not a rise of the pull."));
        return;
    }
    let Some(centres_m) = belt.centres_m else {
        return;
    };
    let strain = tension::strain(moved, centres_m);
    figures.push(
        Figure::of(
            "strain",
            say!("That stretches the belt by"),
            Kind::Percent,
            strain,
            tension::RISE,
        )
        .off_by(Kind::Percent, error / centres_m),
    );
    if strain.abs() > LARGEST_STRAIN {
        notes.push(say!(
            "No belt stretches that much and stays sound. Was the belt cut and joined anew, or are the last readings from \
             other marks? No rise of the pull is worked out."
        ));
        return;
    }
    rise(belt, moved, error, centres_m, figures, notes);
}

fn rise(
    belt: &Belt,
    moved_m: f64,
    error_m: f64,
    centres_m: f64,
    figures: &mut Vec<Figure>,
    notes: &mut Vec<Words>,
) {
    let (Some(width_m), Some(estimate)) = (belt.width_m, belt.estimate) else {
        notes.push(say!(
            "The rise of the pull needs belt width and modulus or rated tension: not worked out."
        ));
        return;
    };
    let of = |travel| tension::rise_n(estimate.modulus_n_per_m, width_m, travel, centres_m);
    let (rise, off) = (of(moved_m), of(error_m));
    let mark = estimate.mark;
    figures.push(
        Figure::of("rise", say!("Rise of the pull in each strand"), Kind::Force, rise, mark)
            .off_by(Kind::Force, off),
    );
    figures.push(
        Figure::of(
            "pull-rise",
            say!("Rise of the pull on the take-up, both sides together"),
            Kind::Force,
            2.0 * rise,
            mark,
        )
        .off_by(Kind::Force, 2.0 * off),
    );
    if let Some(load_n) = belt.load_n {
        figures.push(
            Figure::of(
                "rise-share",
                say!("That is, of the pull at the last reading"),
                Kind::Percent,
                rise / load_n,
                mark,
            )
            .off_by(Kind::Percent, off / load_n),
        );
    }
    if estimate.softest < 1.0 {
        notes.push(say!(
            "The modulus is an estimate: with the softest fabric belts the rise is ",
            share(estimate.softest),
            " of what is shown."
        ));
    }
    notes.push(say!("The rise counts no creep: a fabric belt gives with time, so the true rise is less than shown."));
}

/// How far the tight side goes in further than the other one.
pub(super) fn amount(screws: &Screws) -> Option<Amount> {
    let tight = screws.nearer()?.other();
    let at = say!("the ", tight, " bearing, along its slide");
    Some(Amount::length(screws.lead_m().abs(), screws.lead_error_m(), at))
}

/// How to bring both equal: slackening comes first, so that nothing is tightened to make it square.
pub(super) fn equal(screws: &Screws, pitch_m: Option<f64>) -> Vec<Words> {
    let Some(tight) = screws.nearer().map(Side::other) else {
        return Vec::new();
    };
    let lead = screws.lead_m().abs();
    let mut further = say!("Then slacken the ", tight, " screw by a further ", length(lead));
    if let Some(pitch_m) = pitch_m {
        let turns = (lead / pitch_m * 4.0).round() / 4.0;
        if turns > 0.0 {
            further.0.extend(
                say!(
                    ", about ",
                    Quantity::Number(turns),
                    if turns > 1.0 { " turns" } else { " turn" }
                )
                .0,
            );
        }
    }
    further.0.extend(say!(", until both sides measure the same.").0);
    vec![
        say!(
            "Locked out. Stand beside the screws, not in line with them: the belt pulls on them even at rest."
        ),
        say!(
            "Mark both screws, then slacken both by equal turns until the belt hangs loose at the pulley."
        ),
        further,
        say!(
            "Tighten both by equal turns, only until the belt will drive without slip. Measure both sides again."
        ),
        say!("If the belt then runs off, the cause lies elsewhere: do not turn one screw back."),
    ]
}

/// What the readings rest on.
pub(super) fn notes(
    thread: bool,
    error_given: bool,
    screws: &Screws,
    setting: &Setting,
) -> Vec<Words> {
    let mut notes = Vec::new();
    if thread {
        notes.push(say!("Thread showing counts only if both screws, nuts and blocks are alike. The way to the shaft centre is surer."));
    } else {
        notes.push(say!("This counts only if both marks are the same distance from the other end pulley's shaft."));
    }
    if !error_given {
        notes.push(say!("One reading is taken to be off by up to ", length(screws.error_m), "."));
    }
    if let Some(TakeUp::Gravity | TakeUp::Winch | TakeUp::Carriage) = setting.facts.take_up() {
        notes.push(say!("This conveyor's file names another take-up than screws: the amounts then count for the guides of its pulley."));
    }
    notes
}
