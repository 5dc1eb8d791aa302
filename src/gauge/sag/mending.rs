//! How to bring a strand right, and what the numbers rest on.

use super::super::known::{force, length};
use super::super::{Setting, Words, tension};
use super::Case;
use super::judged::{Deep, Stands, need};
use super::model::Pull;
use super::{CARRY_SAG_MOST, CARRY_SAG_STEADY, RETURN_SAG_LEAST, RETURN_SAG_MOST};
use crate::gauge::tension::Holds;
use crate::say;
use crate::trade::Strand;

/// The sags between which the strand is right by the published rules, least and most.
fn right_sags(case: &Case, setting: &Setting) -> (f64, f64) {
    let of = |limit| setting.limit(limit).size.si() * case.hang.spacing_m;
    match case.strand {
        Strand::Return => (of(&RETURN_SAG_LEAST), of(&RETURN_SAG_MOST)),
        Strand::Carry => (of(&CARRY_SAG_STEADY), of(&CARRY_SAG_MOST)),
    }
}

/// What to do, in order. Nothing is ever tightened past the least sag of the published rule.
pub(super) fn work(
    case: &Case,
    deep: Deep,
    stands: Stands,
    pull: Option<Pull>,
    setting: &Setting,
) -> Vec<Words> {
    let (least, most) = right_sags(case, setting);
    let needed = need(case)
        .and_then(|need| case.hang.sag_at_m(need))
        .unwrap_or(most)
        .clamp(least.min(most), most);
    let mut work = Vec::new();
    let (way, sag_m) = match stands {
        Stands::Slack => ("Tighten", most),
        Stands::Short if deep == Deep::TooLittle => {
            return vec![say!(
                "Do not tighten it further. If the drive slips: look for drag, dirt or wet on the drive pulley, worn lagging, and \
                 too little wrap."
            )];
        }
        Stands::Short => {
            work.push(say!("Do this only if the drive slips or squeals at a start under load, or the belt spills between idlers."));
            ("Tighten", needed)
        }
        Stands::OverTight if deep == Deep::TooLittle => ("Slacken", least),
        Stands::OverTight => ("Slacken", needed),
        Stands::Right | Stands::Roomy | Stands::TightForGrip | Stands::TooClose => return work,
    };
    if case.holds == Holds::ByItself || !case.screws {
        work.push(say!(
            "Locked out and the weight or carriage held by rated restraints: see whether the take-up moves freely over its \
             whole travel."
        ));
        work.push(say!(
            "Have its weight or pull set to the maker's figure. Do not add or take weight by feel."
        ));
        return work;
    }
    let wanted_n = case.hang.mass_kg_per_m.map(|mass| {
        tension::tension_of_sag(mass, case.hang.spacing_m, sag_m / case.hang.spacing_m)
    });
    if let (Some(wanted_n), Some(width_m), Some(rated)) =
        (wanted_n, case.width_m, case.rated_n_per_m)
        && wanted_n > width_m * rated
    {
        work.push(say!(
            "Do not tighten to that sag: it would take ",
            force(wanted_n),
            ", more than the belt is rated for. Ask the belt's maker."
        ));
        return work;
    }
    work.push(say!("Locked out. Stand beside the screws, not in line with them: the belt pulls on them even at rest."));
    let mut turn = say!(
        way,
        " both take-up screws by equal turns, half a turn at a time, until the belt hangs ",
        length(sag_m),
        " there"
    );
    if let Some(travel_m) = travel(case, pull, wanted_n) {
        turn.0.extend(say!(", about ", length(travel_m), " on both screws").0);
    }
    turn.0.extend(say!(", and no further.").0);
    work.push(turn);
    work.push(say!("Measure both sides from the shaft centre to fixed points alike: both must stand the same at the end."));
    work
}

/// How far both screws move until the strand is pulled so much.
fn travel(case: &Case, pull: Option<Pull>, wanted_n: Option<f64>) -> Option<f64> {
    let Some(Pull::About { pull_n, .. }) = pull else {
        return None;
    };
    let travel = (wanted_n? - pull_n).abs() / case.pull_per_travel?;
    (travel.is_finite() && travel >= 0.000_5).then_some(travel)
}

/// What the numbers rest on.
pub(super) fn notes(case: &Case, pull: Option<Pull>, setting: &Setting) -> Vec<Words> {
    let mut notes = vec![say!(
        "Judge sag only with clean rolls that turn: drag looks like a want of pull. A stiff belt hangs less than its pull has it."
    )];
    if case.hang.sags_m.len() < 3 {
        notes.push(say!("Fewer than three spans were measured: three tell more."));
    }
    if !case.error_given {
        notes.push(say!("One reading is taken to be off by up to ", length(0.002), "."));
    }
    match pull {
        None if case.hang.mass_kg_per_m.is_some() => {
            notes.push(say!(
                "The belt does not hang at all, so its pull cannot be told: it may be very tight."
            ));
        }
        None => notes.push(say!("The pull needs the mass of the belt: not worked out.")),
        Some(Pull::AtLeast(least)) => {
            notes.push(say!(
                "The belt hangs no more than the reading error: its pull is at least ",
                force(least),
                "."
            ));
        }
        Some(Pull::About { .. }) => {}
    }
    match case.grip {
        None => notes.push(say!(
            "Grip needs the pull of the drive, or motor rating and belt speed: not worked out."
        )),
        Some(grip) => {
            let screws = "The grip factor for screw take-ups is known from memory only. It is larger than for a take-up that follows the belt.";
            let follows = "The grip factor counts dry pulleys, 0.25 bare and 0.35 lagged: wet or dusty ones need more pull.";
            notes.push(say!(if grip.holds == Holds::Set { screws } else { follows }));
            if case.of_motor {
                notes.push(say!("The full rating of the motor is counted. Few drives use it all: the true need is often less."));
            }
            notes.push(say!(
                "The need holds on the slack side of the drive. On a conveyor that climbs, the pull at the low end is less than there."
            ));
        }
    }
    let steady = setting.limit(&CARRY_SAG_STEADY);
    if case.strand == Strand::Carry
        && case.hang.share() - case.hang.share_error() > steady.size.si()
    {
        notes.push(say!(
            "For belts that run steadily about ",
            steady.size,
            " is aimed at (a fragment of a standard): this is more."
        ));
    }
    notes
}
