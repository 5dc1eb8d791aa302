//! What the crown is held against: the drawing first, then what practice and published rules have.

use super::super::asked::length;
use super::super::limits::shipped;
use super::super::{Basis, Limit, Mark, Setting, Verdict};
use super::{Measured, light_height_m};
use crate::trade::{Carcass, ConveyorClass};

pub(super) const GUIDE: Basis =
    Basis::Published("light-belt-guidelines", "chapter 11, crown by diameter");
/// The usual crown of bulk belts: 1/16 in on the diameter in 1 ft of face.
const USUAL_RATE: f64 = 0.0625 / 12.0;

/// How much crown there should be, on the diameter, and what says so.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct Should {
    pub(super) crown_m: f64,
    pub(super) mark: Mark,
}

impl Should {
    /// The drawing's crown, else the published rule for the class; none for steel cord.
    pub(super) fn of(setting: &Setting, measured: &Measured) -> Option<Self> {
        if setting.facts.carcass() == Some(Carcass::SteelCord) {
            let mark = Basis::Published("belt-maker-guide", "p. 8, steel-cord belts").into();
            return Some(Self { crown_m: 0.0, mark });
        }
        if let Some(crown_m) = measured.drawn_m {
            return Some(Self { crown_m, mark: Mark::Site });
        }
        let face_m = measured.face_m.unwrap_or(measured.shape.over_m);
        match setting.facts.class()? {
            ConveyorClass::Flat | ConveyorClass::Package => {
                let crown_m = 2.0 * light_height_m(measured.diameter_m?);
                Some(Self { crown_m, mark: GUIDE.into() })
            }
            ConveyorClass::TroughedBulk => {
                let from = Basis::Published("crowned-pulley-guide", "usual crown per ft of face");
                Some(Self { crown_m: USUAL_RATE * face_m, mark: from.into() })
            }
        }
    }
}

/// What the crown comes to.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Crown {
    TooMuch,
    /// More than a weak source allows, and nothing else says so.
    AboveWeak,
    AsDrawn,
    TooLittle,
    Hollow,
    TooClose,
}

/// The same with the limit that counts.
pub(super) struct Judged {
    pub(super) crown: Crown,
    pub(super) verdict: Verdict,
    pub(super) limit: Option<Limit>,
}

impl Judged {
    fn new(crown: Crown, limit: Option<Limit>) -> Self {
        let verdict = match crown {
            Crown::TooMuch | Crown::TooLittle | Crown::Hollow => Verdict::Beyond,
            Crown::AsDrawn => Verdict::Within,
            Crown::TooClose => Verdict::TooClose,
            Crown::AboveWeak => Verdict::NoLimit,
        };
        Self { crown, verdict, limit }
    }

    /// Its word.
    pub(super) fn word(&self) -> Option<&'static str> {
        match self.crown {
            Crown::TooMuch => Some("too-much"),
            Crown::AsDrawn => Some("as-drawn"),
            Crown::TooLittle | Crown::Hollow => Some("flat-or-hollow"),
            Crown::AboveWeak | Crown::TooClose => None,
        }
    }
}

/// The upper limit over a length: so much per length, and so much in all.
fn most(setting: &Setting, over_m: f64) -> Limit {
    let rate = setting.limit(&shipped::CROWN_RATE).over(over_m);
    let most = setting.limit(&shipped::CROWN_MOST);
    if most.size.si() < rate.size.si() { most } else { rate }
}

pub(super) fn judged(setting: &Setting, measured: &Measured, should: Option<&Should>) -> Judged {
    let error_m = measured.crown_error_m();
    match should {
        Some(should) if should.crown_m <= 0.0 => flat(measured, should, error_m),
        _ => too_much(setting, measured, should, error_m)
            .unwrap_or_else(|| too_little(setting, measured, should, error_m)),
    }
}

/// No crown is the drawing: what is more than the error is too much, what is less is hollow.
fn flat(measured: &Measured, should: &Should, error_m: f64) -> Judged {
    let crown_m = measured.shape.crown_m;
    let none = Limit::of("crown-most", "crown of a flat pulley: none", length(0.0), should.mark);
    let crown = if crown_m > error_m {
        Crown::TooMuch
    } else if crown_m < -error_m {
        Crown::Hollow
    } else {
        Crown::AsDrawn
    };
    Judged::new(crown, Some(none))
}

/// Whether it is too much, or too close to call against that. Where there is a drawing, what practice has never goes
/// against it: only what is above both is too much.
fn too_much(
    setting: &Setting,
    measured: &Measured,
    should: Option<&Should>,
    error_m: f64,
) -> Option<Judged> {
    let crown_m = measured.shape.crown_m;
    let practice = most(setting, measured.shape.over_m);
    let over = |should: &Should| Limit {
        size: length(setting.limit(&shipped::CROWN_OVER).size.si() * should.crown_m),
        ..setting.limit(&shipped::CROWN_OVER)
    };
    let limit = match should {
        Some(should) if should.crown_m > practice.size.si() => over(should),
        _ => practice,
    };
    let above_should = should.is_none_or(|should| crown_m > should.crown_m + error_m);
    match Verdict::of(crown_m.max(0.0), limit.size.si(), error_m) {
        _ if !above_should => None,
        Verdict::Beyond if should.is_none() && limit.is_weak() => {
            Some(Judged::new(Crown::AboveWeak, Some(limit)))
        }
        Verdict::Beyond => Some(Judged::new(Crown::TooMuch, Some(limit))),
        Verdict::TooClose if crown_m > 0.0 => Some(Judged::new(Crown::TooClose, Some(limit))),
        _ => None,
    }
}

/// Whether enough is left. A straight crown reads low over the middle third, so it is held to its height in the middle.
fn too_little(
    setting: &Setting,
    measured: &Measured,
    should: Option<&Should>,
    error_m: f64,
) -> Judged {
    let shape = &measured.shape;
    let hollow = shape.crown_m < -error_m;
    let worn = if hollow { Crown::Hollow } else { Crown::TooLittle };
    let least = should.map(|should| {
        let share = setting.limit(&shipped::CROWN_LEFT);
        Limit { what: "least crown left", ..share.over(should.crown_m) }
    });
    let Some(limit) = least else {
        // Without a drawing a crown that cannot be told from none is none.
        let none = shape.crown_m <= error_m;
        return Judged::new(if none { worn } else { Crown::AsDrawn }, None);
    };
    let (at_most_m, least_m) = (shape.crown_m.max(shape.straight_m), limit.size.si());
    if at_most_m <= least_m - error_m {
        Judged::new(worn, least)
    } else if shape.crown_m < least_m + error_m {
        Judged::new(Crown::TooClose, least)
    } else {
        Judged::new(Crown::AsDrawn, least)
    }
}
