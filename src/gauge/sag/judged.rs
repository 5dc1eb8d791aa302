//! How a strand stands: by its depth, and by its pull against what is needed.

use super::super::{Limit, Setting, Verdict};
use super::Case;
use super::model::Pull;
use crate::gauge::limits::shipped;
use crate::trade::Strand;

/// How deep it hangs, against what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Deep {
    Usual,
    TooLittle,
    TooMuch,
    /// More than a weak source allows, and nothing else says so.
    AboveWeak,
    /// An empty strand, and what it would hang at full load is not known.
    Unloaded,
    TooClose,
}

/// How the pull stands against what grip and sag need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Against {
    Unknown,
    Short,
    TooClose,
    Enough,
    FarAbove,
}

/// What it comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    /// It hangs too much.
    Slack,
    /// It hangs as usual or little, and yet grip or the load may need more pull.
    Short,
    Right,
    /// It hangs as usual, and its pull is far above what is needed.
    Roomy,
    OverTight,
    /// It hangs little, but no less than its drive may need.
    TightForGrip,
    /// It hangs more than a weak source allows, or nothing can be said of its depth.
    NotJudged,
    TooClose,
}

/// The depth judged, with the limit that counts.
pub(super) struct Depth {
    pub(super) deep: Deep,
    pub(super) verdict: Verdict,
    pub(super) limit: Option<Limit>,
}

pub(super) fn depth(case: &Case, setting: &Setting) -> Depth {
    let Some(loaded) = case.loaded else {
        return Depth { deep: Deep::Unloaded, verdict: Verdict::NoLimit, limit: None };
    };
    let (share, error) = (case.hang.share() * loaded, case.hang.share_error() * loaded);
    let (least, most) = match case.strand {
        Strand::Return => (
            Some(setting.limit(&shipped::RETURN_SAG_LEAST)),
            setting.limit(&shipped::RETURN_SAG_MOST),
        ),
        Strand::Carry => (None, setting.limit(&shipped::CARRY_SAG_MOST)),
    };
    let below = least.map_or(Verdict::Within, |least| {
        match Verdict::of(share, least.size.si(), error) {
            // At least so much: what is beyond the limit is within what is allowed.
            Verdict::Beyond => Verdict::Within,
            Verdict::Within => Verdict::Beyond,
            other => other,
        }
    });
    let above = Verdict::of(share, most.size.si(), error);
    let (deep, verdict, limit) = match (below, above) {
        (Verdict::Beyond, _) => (Deep::TooLittle, below, least),
        (_, Verdict::Beyond) if most.is_weak() => (Deep::AboveWeak, Verdict::NoLimit, Some(most)),
        (_, Verdict::Beyond) => (Deep::TooMuch, above, Some(most)),
        (Verdict::TooClose, _) => (Deep::TooClose, below, least),
        (_, Verdict::TooClose) => (Deep::TooClose, above, Some(most)),
        _ => (Deep::Usual, above, Some(most)),
    };
    Depth { deep, verdict, limit }
}

/// The largest of the lower bounds.
pub(super) fn need(case: &Case) -> Option<f64> {
    let grip = case.grip.map(|grip| grip.needs().0);
    let needs = [grip, case.carry_needs_n];
    needs.into_iter().flatten().filter(|need| *need > 0.0 && need.is_finite()).reduce(f64::max)
}

pub(super) fn against(case: &Case, pull: Option<Pull>, setting: &Setting) -> Against {
    let (Some(pull), Some(need)) = (pull, need(case)) else {
        return Against::Unknown;
    };
    let margin = setting.limit(&shipped::PULL_MARGIN).size.si();
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

/// What depth and pull come to. A sag that is usual by the published rule is not called slack or too tight for a need
/// that is reckoned from a motor's rating; a carry strand has no such rule, so far above every need is too tight.
pub(super) fn stands(strand: Strand, deep: Deep, against: Against) -> Stands {
    match (deep, against) {
        (Deep::TooMuch, _) => Stands::Slack,
        (Deep::TooClose, _) => Stands::TooClose,
        (_, Against::Short) => Stands::Short,
        (Deep::Unloaded, Against::FarAbove) => Stands::OverTight,
        (Deep::AboveWeak | Deep::Unloaded, _) => Stands::NotJudged,
        (Deep::TooLittle, Against::Enough | Against::TooClose) => Stands::TightForGrip,
        (Deep::TooLittle, _) => Stands::OverTight,
        (Deep::Usual, Against::TooClose) => Stands::TooClose,
        (Deep::Usual, Against::FarAbove) if strand == Strand::Carry => Stands::OverTight,
        (Deep::Usual, Against::FarAbove) => Stands::Roomy,
        (Deep::Usual, Against::Unknown | Against::Enough) => Stands::Right,
    }
}
