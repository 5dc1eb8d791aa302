//! Transition: whether the first idler of full trough angle stands far enough from the pulley.

mod asked;
pub(crate) mod key;
pub mod table;
mod told;

use super::asked::Asked;
use super::limits::shipped;
use super::{Amiss, CanTell, Gauge, Kind, Limit, Outcome, Readings, Setting, Tell, read_by};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{Carcass, ConveyorClass};
use asked::{
    ANGLE, CARCASS, DISTANCE, ERROR, HEIGHT, MODULUS, OWN_TABLE, RATED, Stands, USED, Uses, WIDTH,
};
use table::{Height, Used};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "transition",
    title: "Distance from pulley to full trough",
    about: "Whether the first idler of full trough angle stands far enough from the pulley for the belt's edges.",
    ways: &[asked::WAY],
    tells: &[Tell { id: "distance", words: &["fits", "too-near"] }],
    limits: shipped::OF_TRANSITION,
    foretell,
    work,
};

/// A transition as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transition {
    /// From shaft to first full-trough idler, m.
    pub distance_m: f64,
    /// Belt width, m.
    pub width_m: f64,
    /// Trough angle, rad.
    pub angle_rad: f64,
    /// How high the pulley stands.
    pub height: Height,
    /// What carries the pull.
    pub carcass: Carcass,
    /// How much of the rated pull is used; nothing if it is not known.
    pub used: Option<Used>,
    /// The belt maker's own least distance, in belt widths.
    pub own_widths: Option<f64>,
    /// Modulus over rated tension, both per width.
    pub modulus_over_rated: Option<f64>,
    /// How far the tape may be off, m.
    pub error_m: f64,
}

/// How far the tape may be off, against the least distance: where height and pull are not known yet, the greatest that may
/// be asked for.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&ERROR, &read_by::LONG_TAPE).ok()?;
    let height = asked.chosen(&HEIGHT).map_or(Height::CentreRoll, Stands::height);
    let used = asked.chosen(&USED).map_or(Used::Most, Uses::used);
    let (carcass, angle_rad) = (carcass(&asked).ok()?, asked.may(&ANGLE).ok()??);
    let by_table = table::least_widths(carcass, height, used, angle_rad.to_degrees());
    let widths = asked.may(&OWN_TABLE).ok()?.or(by_table.map(|(widths, _)| widths))?;
    let least_m = widths * asked.may(&WIDTH).ok()??;
    let limit = Limit::of(
        "transition",
        "least distance from pulley to full trough",
        Quantity::of(Kind::Length, least_m),
        table::source(carcass)?,
    );
    let better = say!("Or pull a steel tape steadily, and take the mean of both sides.");
    let what = "the distance to the full trough";
    Some(CanTell::of(what, Kind::Length, error_m, limit).better(better))
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if setting.facts.troughed() == Some(false) || setting.facts.class() == Some(ConveyorClass::Flat)
    {
        return Err(Amiss::all(say!(
            "The conveyor's file says that its belt is not troughed: there is no transition to measure."
        )));
    }
    let asked = Asked::of(readings, setting);
    let transition = Transition {
        distance_m: asked.must(&DISTANCE)?,
        width_m: asked.must(&WIDTH)?,
        angle_rad: asked.must(&ANGLE)?,
        height: asked.choice(&HEIGHT).map(Stands::height)?,
        carcass: carcass(&asked)?,
        used: asked.chosen(&USED).map(Uses::used),
        own_widths: asked.may(&OWN_TABLE)?,
        modulus_over_rated: asked
            .may(&MODULUS)?
            .zip(asked.may(&RATED)?)
            .map(|(modulus, rated)| modulus / rated),
        error_m: asked.error(&ERROR, &read_by::LONG_TAPE)?,
    };
    if transition.error_m >= transition.distance_m {
        return Err(Amiss::with(
            ERROR.key,
            say!(
                "An error as large as the distance tells nothing: measure ",
                Quantity::of(Kind::Length, transition.distance_m),
                " anew."
            ),
        ));
    }
    told::outcome(&transition, setting)
}

fn carcass(asked: &Asked) -> Result<Carcass, Amiss> {
    match asked.chosen(&CARCASS).or(asked.setting.facts.carcass()) {
        Some(carcass @ (Carcass::Fabric | Carcass::SteelCord)) => Ok(carcass),
        Some(Carcass::Other) | None => Err(Amiss::with(
            CARCASS.key,
            say!(
                "Say whether the belt has fabric plies or steel cords: steel cord needs twice the distance."
            ),
        )),
    }
}
