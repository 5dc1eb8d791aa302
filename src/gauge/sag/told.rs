//! What a sag means, and what to do about it.

use super::super::known::{force, length};
use super::super::{Figure, Kind, Limit, Mark, Outcome, Setting, Verdict, Words, tension};
use super::Case;
use super::model::{Pull, Strand};
use crate::gauge::tension::Holds;
use crate::say;

const READ: Mark = Mark::Derived("mean of the spans; reading error and scatter added as squares");

/// How deep it hangs, against what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Deep {
    Usual,
    TooLittle,
    TooMuch,
    TooClose,
}

/// How the pull stands against what grip and sag need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Against {
    Unknown,
    Short,
    TooClose,
    Enough,
    FarAbove,
}

/// What it comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stands {
    Slack,
    Right,
    OverTight,
    /// It hangs little, but no less than its drive needs.
    TightForGrip,
    TooClose,
}

/// The depth judged, with the limit that counts.
struct Depth {
    deep: Deep,
    verdict: Verdict,
    limit: Option<Limit>,
}

fn depth(case: &Case, setting: &Setting) -> Depth {
    let (share, error) = (case.hang.share(), case.hang.share_error());
    let (least, most) = match case.strand {
        Strand::Return => (
            setting.limit("return-sag-least"),
            setting.limit("return-sag-most"),
        ),
        Strand::Carry => (None, setting.limit("carry-sag-most")),
    };
    let below = least.map_or(Verdict::Within, |least| {
        match Verdict::of(share, least.size.si(), error) {
            // At least so much: what is beyond the limit is within what is allowed.
            Verdict::Beyond => Verdict::Within,
            Verdict::Within => Verdict::Beyond,
            other => other,
        }
    });
    let above = most.map_or(Verdict::NoLimit, |most| {
        Verdict::of(share, most.size.si(), error)
    });
    let (deep, verdict, limit) = match (below, above) {
        (Verdict::Beyond, _) => (Deep::TooLittle, below, least),
        (_, Verdict::Beyond) => (Deep::TooMuch, above, most),
        (Verdict::TooClose, _) => (Deep::TooClose, below, least),
        (_, Verdict::TooClose) => (Deep::TooClose, above, most),
        _ => (Deep::Usual, above, most),
    };
    Depth {
        deep,
        verdict,
        limit,
    }
}

/// The largest of the lower bounds.
fn need(case: &Case) -> Option<f64> {
    let grip = case.grip.map(|grip| grip.needs().0);
    let needs = [grip, case.carry_needs_n];
    needs
        .into_iter()
        .flatten()
        .filter(|need| *need > 0.0 && need.is_finite())
        .reduce(f64::max)
}

fn against(case: &Case, pull: Option<Pull>, setting: &Setting) -> Against {
    let (Some(pull), Some(need)) = (pull, need(case)) else {
        return Against::Unknown;
    };
    let margin = setting
        .limit("pull-margin")
        .map_or(f64::INFINITY, |limit| limit.size.si());
    match pull {
        Pull::AtLeast(least) if least < need => Against::Unknown,
        Pull::AtLeast(least) if least > need * margin => Against::FarAbove,
        Pull::AtLeast(_) => Against::Enough,
        Pull::About { most_n, .. } if most_n < need => Against::Short,
        Pull::About { least_n, .. } if least_n < need => Against::TooClose,
        Pull::About { least_n, .. } if least_n > need * margin => Against::FarAbove,
        Pull::About { .. } => Against::Enough,
    }
}

fn stands(deep: Deep, against: Against) -> Stands {
    match (deep, against) {
        (_, Against::Short) | (Deep::TooMuch, _) => Stands::Slack,
        (Deep::TooClose, _) | (_, Against::TooClose) => Stands::TooClose,
        (Deep::TooLittle, Against::Enough) => Stands::TightForGrip,
        (Deep::TooLittle, _) | (_, Against::FarAbove) => Stands::OverTight,
        (Deep::Usual, _) => Stands::Right,
    }
}

/// The outcome.
pub(super) fn outcome(case: &Case, setting: &Setting) -> Outcome {
    let depth = depth(case, setting);
    let pull = case.hang.pull();
    let against = against(case, pull, setting);
    let stands = stands(depth.deep, against);
    let deep = depth.deep;
    let figures = figures(case, &depth, pull, setting);
    let verdict = figures.iter().fold(Verdict::NoLimit, |worst, figure| {
        worst.worse(figure.verdict)
    });
    let word = match deep {
        Deep::Usual => Some("usual"),
        Deep::TooLittle => Some("too-little"),
        Deep::TooMuch => Some("too-much"),
        Deep::TooClose => None,
    };
    Outcome {
        says: says(case, deep, stands, against),
        verdict,
        figures,
        // What is usual is asked of the return strand only.
        tells: if case.strand == Strand::Return {
            vec![("hang", word)]
        } else {
            Vec::new()
        },
        work: work(case, stands, pull, setting),
        notes: notes(case, pull, setting),
        plot: None,
    }
}

fn says(case: &Case, deep: Deep, stands: Stands, against: Against) -> Words {
    let strand = if case.strand == Strand::Return {
        "The return strand hangs "
    } else {
        "The carry strand hangs "
    };
    let mut says = say!(
        strand,
        length(case.hang.sag_m()),
        " in ",
        length(case.hang.spacing_m),
        ": "
    );
    let rest = match (stands, deep, against) {
        (Stands::Slack, Deep::TooMuch, _) => "too much. The belt is slack.",
        (Stands::Slack, _, _) => "its pull is less than grip or sag needs. The belt is slack.",
        (Stands::TightForGrip, _, _) => {
            "little, but its pull is no more than the drive and the load may need."
        }
        (Stands::OverTight, Deep::TooLittle, _) => "too little. The belt is too tight.",
        (Stands::OverTight, _, _) => {
            "its pull is far more than grip and sag need. The belt is too tight."
        }
        (Stands::TooClose, Deep::TooClose, _) => {
            "too close to call: measure again. Tape at three more spans, string pulled hard."
        }
        (Stands::TooClose, _, _) => {
            "as usual, but whether its pull is enough is too close to call: measure again at three more spans."
        }
        (Stands::Right, _, Against::Unknown) => "that is right, as far as sag can tell.",
        (Stands::Right, _, _) => "that is right, and its pull is enough.",
    };
    says.0.extend(say!(rest).0);
    says
}

fn figures(case: &Case, depth: &Depth, pull: Option<Pull>, setting: &Setting) -> Vec<Figure> {
    let hang = &case.hang;
    let mut share = Figure::of(
        "sag-share",
        say!("Sag, of the spacing"),
        Kind::Percent,
        hang.share(),
        READ,
    )
    .off_by(Kind::Percent, hang.share_error());
    share.limit = depth.limit;
    share.verdict = depth.verdict;
    let mut figures = vec![
        share,
        Figure::of(
            "sag",
            say!("Sag, mean of the spans"),
            Kind::Length,
            hang.sag_m(),
            READ,
        )
        .off_by(Kind::Length, hang.sag_error_m()),
    ];
    if let Some(pull) = pull {
        let what = match pull {
            Pull::About { .. } => say!("Pull in the strand"),
            Pull::AtLeast(_) => say!("Pull in the strand, at least"),
        };
        figures.push(
            Figure::of("pull", what, Kind::Force, pull.n(), tension::PARABOLA)
                .off_by(Kind::Force, pull.error_n()),
        );
    }
    figures.extend(need_figures(case, pull, setting));
    if let (Some(pull), Some(width_m), Some(rated)) = (pull, case.width_m, case.rated_n_per_m) {
        let of_rating = 1.0 / (width_m * rated);
        figures.push(
            Figure::of(
                "rated-share",
                say!("Pull, of the belt's rated working tension"),
                Kind::Percent,
                pull.n() * of_rating,
                tension::PARABOLA,
            )
            .off_by(Kind::Percent, pull.error_n() * of_rating)
            .against(setting.limit("rated-share")),
        );
    }
    figures
}

fn need_figures(case: &Case, pull: Option<Pull>, setting: &Setting) -> Vec<Figure> {
    let mut figures = Vec::new();
    if let Some(grip) = case.grip {
        let (needs_n, mark) = grip.needs();
        figures.push(Figure::of(
            "grip-needs",
            say!("Pull that the drive needs on its slack side"),
            Kind::Force,
            needs_n,
            mark,
        ));
    }
    if let Some(needs_n) = case.carry_needs_n {
        let what = say!("Pull that keeps the loaded carry strand within its sag");
        figures.push(Figure::of(
            "carry-needs",
            what,
            Kind::Force,
            needs_n,
            tension::PARABOLA,
        ));
    }
    let (Some(pull), Some(need)) = (pull, need(case)) else {
        return figures;
    };
    let margin = Figure::of(
        "margin",
        say!("Pull, times the larger need"),
        Kind::Number,
        pull.n() / need,
        tension::PARABOLA,
    )
    .off_by(Kind::Number, pull.error_n() / need);
    // Less than the need is beyond what is allowed just as far above it is.
    let margin = match against(case, Some(pull), setting) {
        Against::Short => Figure {
            verdict: Verdict::Beyond,
            ..margin
        },
        Against::TooClose => Figure {
            verdict: Verdict::TooClose,
            ..margin
        },
        _ => margin.against(setting.limit("pull-margin")),
    };
    figures.push(margin);
    figures
}

/// The sags between which the strand is right, least and most.
fn right_sags(case: &Case, setting: &Setting) -> (f64, f64) {
    let spacing_m = case.hang.spacing_m;
    let of = |id: &str, otherwise: f64| {
        setting.limit(id).map_or(otherwise, |limit| limit.size.si()) * spacing_m
    };
    let (least, most) = match case.strand {
        Strand::Return => (of("return-sag-least", 0.0), of("return-sag-most", 0.0)),
        Strand::Carry => (of("carry-sag-steady", 0.0), of("carry-sag-most", 0.0)),
    };
    let most = need(case)
        .and_then(|need| case.hang.sag_at_m(need))
        .map_or(most, |sag| sag.min(most));
    (least.min(most), most)
}

fn work(case: &Case, stands: Stands, pull: Option<Pull>, setting: &Setting) -> Vec<Words> {
    let (least, most) = right_sags(case, setting);
    let tighten = match stands {
        Stands::Slack => true,
        Stands::OverTight => false,
        Stands::Right | Stands::TightForGrip | Stands::TooClose => return Vec::new(),
    };
    if case.holds == Holds::ByItself || !case.screws {
        return vec![
            say!(
                "Locked out and the weight or carriage held by rated restraints: see whether the take-up moves freely over its whole travel."
            ),
            say!(
                "Have its weight or pull set to the maker's figure. Do not add or take weight by feel."
            ),
        ];
    }
    let way = if tighten { "Tighten" } else { "Slacken" };
    let mut turn = say!(
        way,
        " both take-up screws by equal turns, half a turn at a time, until the belt hangs "
    );
    if least < most {
        turn.0
            .extend(say!(length(least), " to ", length(most), " there").0);
    } else {
        turn.0.extend(say!(length(most), " there").0);
    }
    if let Some(travel_m) = travel(case, pull, if tighten { most } else { least }) {
        turn.0
            .extend(say!(", about ", length(travel_m), " on both screws").0);
    }
    turn.0.extend(say!(".").0);
    vec![
        say!(
            "Locked out. Stand beside the screws, not in line with them: the belt pulls on them even at rest."
        ),
        turn,
        say!(
            "Measure both sides from the shaft centre to fixed points alike: both must stand the same at the end."
        ),
    ]
}

/// How far both screws move until the strand hangs so deep.
fn travel(case: &Case, pull: Option<Pull>, sag_m: f64) -> Option<f64> {
    let Some(Pull::About { pull_n, .. }) = pull else {
        return None;
    };
    let wanted_n = tension::tension_of_sag(
        case.hang.mass_kg_per_m?,
        case.hang.spacing_m,
        sag_m / case.hang.spacing_m,
    );
    let travel = (wanted_n - pull_n).abs() / case.pull_per_travel?;
    (travel.is_finite() && travel >= 0.000_5).then_some(travel)
}

fn notes(case: &Case, pull: Option<Pull>, setting: &Setting) -> Vec<Words> {
    let mut notes = vec![say!(
        "Judge sag only with clean rolls that turn: drag looks like a want of pull. A stiff belt hangs less than its pull has it."
    )];
    if case.hang.sags_m.len() < 3 {
        notes.push(say!(
            "Fewer than three spans were measured: three tell more."
        ));
    }
    if !case.error_given {
        notes.push(say!(
            "One reading is taken to be off by up to ",
            length(0.002),
            "."
        ));
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
            let screws = "The grip factor for screw take-ups is known from memory only, and it is larger than for a take-up that follows the belt.";
            let follows = "The grip factor counts dry pulleys, 0.25 bare and 0.35 lagged: wet or dusty ones need more pull.";
            notes.push(say!(if grip.holds == Holds::Set {
                screws
            } else {
                follows
            }));
            notes.push(say!(
                "The need holds on the slack side of the drive. On a conveyor that climbs, the pull at the low end is less than there."
            ));
        }
    }
    if let (Strand::Carry, Some(steady)) = (case.strand, setting.limit("carry-sag-steady"))
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
