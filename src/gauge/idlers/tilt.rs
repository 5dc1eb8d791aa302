//! How far troughing idlers lean with the belt.

use super::super::limits::{Limit, shipped};
use super::super::{Basis, Figure, Kind, Setting, Verdict, Words, read_by};
use super::Idler;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::Strand;

/// No stand leans further, rad.
pub(super) const STEEPEST: f64 = 0.8;

/// What the tilts come to.
pub(super) struct Tilted {
    pub(super) figure: Figure,
    pub(super) told: Option<&'static str>,
    pub(super) steps: Vec<Words>,
}

/// The tilt of the worst, if any was measured.
pub(super) fn tilt(
    idlers: &[Idler],
    strand: Strand,
    setting: &Setting,
    reversing: bool,
) -> Option<Tilted> {
    let error_rad = setting.reading_error(&read_by::ANGLE_GAUGE);
    let tilted: Vec<(&Idler, f64)> =
        idlers.iter().filter_map(|idler| Some((idler, idler.tilt_rad?))).collect();
    // Leaning back is no use at all, so it counts like leaning too far only beyond the same limit.
    let (_, worst) = tilted.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let shipped = setting.limit(&shipped::IDLER_TILT);
    let limit = if reversing {
        // No tilt at all; what an angle gauge cannot tell from none is let pass.
        Limit::of(
            shipped.id,
            "tilt on a reversing belt: none but what the angle gauge errs",
            Quantity::of(Kind::Angle, 2.0 * error_rad),
            Basis::Derived("tilt centres in one direction of running only"),
        )
    } else {
        shipped
    };
    let what = say!("worst tilt in the belt's direction");
    let figure = Figure::of("tilt", what, Kind::Angle, *worst, Basis::Derived("the reading"))
        .off_by(Kind::Angle, error_rad)
        .against(limit);
    let told = match figure.verdict {
        Verdict::Within => Some("within"),
        Verdict::Beyond => Some("too-far"),
        _ => None,
    };
    let limit_rad = limit.size.si();
    let aim_rad = if reversing { 0.0 } else { limit_rad };
    let steps = tilted
        .iter()
        .filter(|(_, tilt)| Verdict::of(*tilt, limit_rad, error_rad) == Verdict::Beyond)
        .map(|(idler, tilt)| {
            say!(
                told_name(strand, idler),
                ": its stand leans ",
                Quantity::of(Kind::Angle, tilt.abs()),
                if *tilt > 0.0 { " with the belt" } else { " against the belt" },
                ": shim it to ",
                Quantity::of(Kind::Angle, aim_rad),
                if aim_rad > 0.0 { " or less." } else { " (upright)." }
            )
        })
        .collect();
    Some(Tilted { figure, told, steps })
}

/// "Carry idler 12", "Return idler 5".
pub(super) fn told_name(strand: Strand, idler: &Idler) -> String {
    let strand = match strand {
        Strand::Carry => "Carry",
        Strand::Return => "Return",
    };
    format!("{strand} idler {}", idler.name)
}
