//! What a sag means, in words and figures.

use super::super::asked::length;
use super::super::limits::shipped;
use super::super::{Basis, Figure, Kind, Outcome, Setting, Verdict, Words, closer, tension};
use super::judged::{Against, Deep, Depth, Stands, against, depth, need, stands};
use super::model::Pull;
use super::{Case, mending};
use crate::say;
use crate::trade::Strand;

const READ: Basis = Basis::Derived("mean of the spans; reading error and scatter added as squares");

/// The outcome.
pub(super) fn outcome(case: &Case, setting: &Setting) -> Outcome {
    let depth = depth(case, setting);
    let pull = case.hang.pull();
    let against = against(case, pull, setting);
    let stands = stands(case.strand, depth.deep, against);
    let deep = depth.deep;
    let figures = figures(case, &depth, pull, stands, setting);
    let verdict =
        figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    let word = match deep {
        Deep::Usual => Some("usual"),
        Deep::TooLittle => Some("too-little"),
        Deep::TooMuch => Some("too-much"),
        Deep::TooClose | Deep::AboveWeak | Deep::Unloaded => None,
    };
    Outcome {
        says: says(case, deep, stands, (against, figures.first())),
        verdict,
        figures,
        // What is usual is asked of the return strand only.
        tells: if case.strand == Strand::Return { vec![("hang", word)] } else { Vec::new() },
        work: mending::work(case, deep, stands, pull, setting),
        notes: mending::notes(case, pull, setting),
        amount: None,
        plot: None,
    }
}

fn says(
    case: &Case,
    deep: Deep,
    stands: Stands,
    (against, share): (Against, Option<&Figure>),
) -> Words {
    let strand = if case.strand == Strand::Return {
        "The return strand hangs "
    } else {
        "The carry strand hangs "
    };
    let mut says =
        say!(strand, length(case.hang.sag_m()), " in ", length(case.hang.spacing_m), ": ");
    let rest = match (stands, deep, against) {
        (Stands::Slack, _, _) => "too much. The belt is slack.",
        (Stands::Short, Deep::TooLittle, _) => {
            "little, and yet its pull is less than grip or the load may need. More pull is not the cure."
        }
        (Stands::Short, Deep::AboveWeak, _) => {
            "its pull is less than grip or the load may need. Loaded it would hang more than a weak source allows. If the drive slips, or it spills between idlers, the belt is slack."
        }
        (Stands::Short, Deep::Unloaded, _) => {
            "its pull is less than grip or the load may need. If the drive slips, the belt is slack."
        }
        (Stands::Short, _, _) => {
            "as usual, but its pull is less than grip or the load may need. If the drive slips, the belt is slack."
        }
        (Stands::TightForGrip, _, _) => {
            "little, but its pull is no more than the drive and the load may need."
        }
        (Stands::OverTight, Deep::TooLittle, _) => "too little. The belt is too tight.",
        (Stands::OverTight, _, _) => {
            "its pull is far more than grip and load need. The belt is too tight."
        }
        (Stands::NotJudged, Deep::Unloaded, _) => {
            "empty, so it is not judged: the limit is for the loaded strand."
        }
        (Stands::NotJudged, _, _) => {
            "loaded it would hang more than a weak source allows. Look whether it spills between idlers; do nothing by this alone."
        }
        (Stands::TooClose, Deep::TooClose, _) => {
            "too close to call: measure again. Tape at three more spans, string pulled hard."
        }
        (Stands::TooClose, _, _) => {
            "as usual, but whether its pull is enough is too close to call: measure again at three more spans."
        }
        (Stands::Right, _, Against::Unknown) => "that is right, as far as sag can tell.",
        (Stands::Right, _, _) => "that is right, and its pull is enough.",
        (Stands::Roomy, _, _) => {
            "that is right, and its pull is far more than needed: do not tighten it."
        }
    };
    says.0.extend(say!(rest).0);
    if deep == Deep::TooClose {
        says.0.extend(share.map(|share| closer(share, None).0).unwrap_or_default());
    }
    says
}

fn figures(
    case: &Case,
    depth: &Depth,
    pull: Option<Pull>,
    stands: Stands,
    setting: &Setting,
) -> Vec<Figure> {
    let hang = &case.hang;
    let mut share =
        Figure::of("sag-share", say!("Sag, of the spacing"), Kind::Percent, hang.share(), READ)
            .off_by(Kind::Percent, hang.share_error());
    if case.loaded == Some(1.0) {
        share.limit = depth.limit;
        share.verdict = depth.verdict;
    }
    let mut figures = vec![
        share,
        Figure::of("sag", say!("Sag, mean of the spans"), Kind::Length, hang.sag_m(), READ)
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
    if let Some(loaded) = case.loaded.filter(|loaded| *loaded != 1.0) {
        let what = say!("Sag that it would have at full load, of the spacing");
        let heavier = Basis::Derived("sag grows with what hangs there, at the same pull");
        let figure = Figure::of("sag-loaded", what, Kind::Percent, hang.share() * loaded, heavier)
            .off_by(Kind::Percent, hang.share_error() * loaded);
        figures.push(Figure { limit: depth.limit, verdict: depth.verdict, ..figure });
    }
    figures.extend(need_figures(case, pull, stands, setting));
    figures.extend(mending::figures(case, depth.deep, stands, pull, setting));
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
            .against(setting.limit(&shipped::RATED_SHARE)),
        );
    }
    figures
}

fn need_figures(case: &Case, pull: Option<Pull>, stands: Stands, setting: &Setting) -> Vec<Figure> {
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
        figures.push(Figure::of("carry-needs", what, Kind::Force, needs_n, tension::PARABOLA));
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
        Against::Short => Figure { verdict: Verdict::Beyond, ..margin },
        Against::TooClose => Figure { verdict: Verdict::TooClose, ..margin },
        // Where the sag is usual, plenty of pull is no fault.
        _ if stands == Stands::Roomy => margin,
        _ => margin.against(setting.limit(&shipped::PULL_MARGIN)),
    };
    figures.push(margin);
    figures
}
