//! How to bring a strand right, and what the numbers rest on.

use super::super::asked::{force, length};
use super::super::limits::shipped;
use super::super::{Basis, Figure, Kind, Setting, Words, tension};
use super::Case;
use super::judged::{Deep, Stands, need};
use super::model::{Pull, slack_share};
use crate::gauge::tension::Holds;
use crate::say;
use crate::trade::Strand;

/// How far inside the usual sags one aims, as a share of what lies between them: measured again, it must come to rest.
const INSIDE: f64 = 1.0 / 6.0;
/// How much more pull than is needed one aims at.
const TO_SPARE: f64 = 1.1;

/// The sags between which one aims, least and most, m, for a strand as it is loaded where it was measured.
fn right_sags(case: &Case, setting: &Setting) -> (f64, f64) {
    let loaded = case.loaded.unwrap_or(1.0);
    let of = |limit| setting.limit(limit).size.si() * case.hang.spacing_m / loaded;
    let (least, most) = match case.strand {
        Strand::Return => (of(&shipped::RETURN_SAG_LEAST), of(&shipped::RETURN_SAG_MOST)),
        Strand::Carry => (of(&shipped::CARRY_SAG_STEADY), of(&shipped::CARRY_SAG_MOST)),
    };
    let between = (most - least).max(0.0);
    let inside = (INSIDE * between).max(1.5 * case.hang.error_m).min(between / 2.0);
    (least + inside, (most - inside).max(least + inside))
}

/// The sag to aim at. Nothing if there is nothing to be done about the pull.
fn aim_m(case: &Case, deep: Deep, stands: Stands, setting: &Setting) -> Option<f64> {
    let (least, most) = right_sags(case, setting);
    let needed = need(case).and_then(|need| case.hang.sag_at_m(TO_SPARE * need));
    let needed = needed.unwrap_or(most).clamp(least, most);
    match stands {
        Stands::Slack => Some(needed.min(most)),
        Stands::Short => Some(needed),
        Stands::OverTight if deep == Deep::TooLittle => Some(least),
        Stands::OverTight => Some(needed),
        Stands::Right
        | Stands::Roomy
        | Stands::TightForGrip
        | Stands::NotJudged
        | Stands::TooClose => None,
    }
}

/// Whether a strand that is short of pull hangs no deeper than one aims at: then screws are no cure.
fn no_cure(case: &Case, deep: Deep, sag_m: f64) -> bool {
    deep == Deep::TooLittle || case.hang.sag_m() <= sag_m + case.hang.sag_error_m()
}

/// What to do, in order. Nothing is ever tightened past the least sag of the published rule.
pub(super) fn work(
    case: &Case,
    deep: Deep,
    stands: Stands,
    pull: Option<Pull>,
    setting: &Setting,
) -> Vec<Words> {
    let Some(sag_m) = aim_m(case, deep, stands, setting) else {
        return Vec::new();
    };
    let mut work = Vec::new();
    if stands == Stands::Short {
        if no_cure(case, deep, sag_m) {
            return vec![say!(
                "Do not tighten it further. If the drive slips: look for drag, dirt or wet on the drive pulley, worn lagging, and \
                 too little wrap."
            )];
        }
        work.push(say!("Do this only if the drive slips or squeals at a start under load, or the belt spills between idlers."));
    }
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
    let aimed_n = aimed_n(case, sag_m);
    if let (Some(aimed_n), Some(width_m), Some(rated)) = (aimed_n, case.width_m, case.rated_n_per_m)
        && aimed_n > width_m * rated
    {
        work.push(say!(
            "Do not tighten to that sag: it would take ",
            force(aimed_n),
            ", more than the belt is rated for. Ask the belt's maker."
        ));
        return work;
    }
    work.push(say!("Locked out. Stand beside the screws, not in line with them: the belt pulls on them even at rest."));
    let way = if stands == Stands::OverTight { "Slacken" } else { "Tighten" };
    let strand = case.strand.name();
    let mut turn = say!(
        way,
        format!(
            " both take-up screws by equal turns, half a turn at a time, until the {strand} strand hangs "
        ),
        length(sag_m),
        " there"
    );
    if let Some(travel) = Travel::of(case, pull, sag_m) {
        turn.0.extend(say!(", about ", length(travel.whole_m()), " on both screws").0);
    }
    turn.0.extend(say!(", and no further.").0);
    work.push(turn);
    work.push(say!("Measure both sides from the shaft centre to fixed points alike: both must stand the same at the end."));
    work
}

/// The pull at the sag that one aims at.
fn aimed_n(case: &Case, sag_m: f64) -> Option<f64> {
    let mass = case.hang.mass_kg_per_m?;
    Some(tension::tension_of_sag(mass, case.hang.spacing_m, sag_m / case.hang.spacing_m))
}

/// How far both screws move until the strand hangs so much: what stretches the belt, and what takes up the belt that hangs
/// in the sag of this strand.
struct Travel {
    stretch_m: f64,
    hanging_m: f64,
}

impl Travel {
    fn of(case: &Case, pull: Option<Pull>, sag_m: f64) -> Option<Self> {
        let Some(Pull::About { pull_n, .. }) = pull else {
            return None;
        };
        let stretch_m = (aimed_n(case, sag_m)? - pull_n).abs() / case.pull_per_travel?;
        let aimed = slack_share(sag_m / case.hang.spacing_m);
        // Half of it on each screw's strand, as the pulley takes up both strands.
        let hanging_m = case.centres_m? * (slack_share(case.hang.share()) - aimed).abs() / 2.0;
        let travel = Self { stretch_m, hanging_m };
        (travel.whole_m().is_finite() && travel.whole_m() >= 0.000_5).then_some(travel)
    }

    fn whole_m(&self) -> f64 {
        self.stretch_m + self.hanging_m
    }
}

/// The pull to aim at and the travel to it, if there is something to be done.
pub(super) fn figures(
    case: &Case,
    deep: Deep,
    stands: Stands,
    pull: Option<Pull>,
    setting: &Setting,
) -> Vec<Figure> {
    let Some(sag_m) = aim_m(case, deep, stands, setting) else {
        return Vec::new();
    };
    let mut figures = Vec::new();
    if let Some(aimed_n) = aimed_n(case, sag_m) {
        let what = say!("Pull in the strand to aim at");
        figures.push(Figure::of("pull-aimed", what, Kind::Force, aimed_n, tension::PARABOLA));
    }
    if let Some(travel) = Travel::of(case, pull, sag_m) {
        let hangs = Basis::Derived(
            "belt in the sag of this strand, 8/3 of the sag's share squared; half of it on the screws",
        );
        figures.push(Figure::of(
            "travel-stretch",
            say!("Travel of both screws that stretches the belt"),
            Kind::Length,
            travel.stretch_m,
            tension::RISE,
        ));
        figures.push(Figure::of(
            "travel-hanging",
            say!("Travel that takes up or gives the belt in the sag"),
            Kind::Length,
            travel.hanging_m,
            hangs,
        ));
    }
    figures
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
        notes.push(say!(
            "One reading is taken to be off by up to ",
            length(case.hang.error_m),
            "."
        ));
    }
    if case.loaded.is_none() {
        notes.push(say!("The limit is for the loaded strand. Give the belt's mass and the full load, or measure under load."));
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
    let steady = setting.limit(&shipped::CARRY_SAG_STEADY);
    let loaded = case.loaded.unwrap_or(0.0);
    if case.strand == Strand::Carry
        && (case.hang.share() - case.hang.share_error()) * loaded > steady.size.si()
    {
        notes.push(say!(
            "For belts that run steadily about ",
            steady.size,
            " is aimed at when loaded (a fragment of a standard): this is more."
        ));
    }
    notes
}
