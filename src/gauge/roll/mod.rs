//! Rolls: how much cake they carry, how much they are worn, and whether one end is thicker than the other.

mod asked;
pub(crate) mod key;
mod told;

use std::f64::consts::PI;

use super::asked::Asked;
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use crate::trade::Side;
use asked::Of;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "roll",
    title: "Cake and wear of rolls",
    about: "Tells how thick the cake on rolls is, which are worn, and whether one end is thicker than the other.",
    ways: asked::WAYS,
    tells: &[Tell { id: "caked", words: &["bare", "caked"] }],
    limits: shipped::OF_ROLL,
    foretell,
    work,
};

/// No diameter on a roll is further from the clean one than this, times it.
const MOST_TIMES: f64 = 2.0;

fn error_m(asked: &Asked) -> Result<f64, Amiss> {
    if asked::by_girth(asked) {
        asked.error(&asked::GIRTH_ERROR, &read_by::GIRTH)
    } else {
        asked.error(&asked::CALIPER_ERROR, &read_by::CALIPERS)
    }
}

/// What a diameter tells of cake.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error_m = error_m(&Asked::of(readings, setting)).ok()?;
    let limit = setting.limit(&shipped::ROLL_CAKE);
    Some(CanTell::of("thickness of the cake", Kind::Length, error_m / 2.0, limit))
}

/// A roll's diameters.
struct Roll {
    name: String,
    left_m: f64,
    middle_m: Option<f64>,
    right_m: f64,
}

impl Roll {
    fn places(&self) -> impl Iterator<Item = f64> {
        [Some(self.left_m), self.middle_m, Some(self.right_m)].into_iter().flatten()
    }

    fn most_m(&self) -> f64 {
        self.places().fold(0.0, f64::max)
    }

    fn least_m(&self) -> f64 {
        self.places().fold(f64::INFINITY, f64::min)
    }

    /// How much larger the left end is.
    fn cone_m(&self) -> f64 {
        self.left_m - self.right_m
    }

    /// The end that is larger.
    fn larger(&self) -> Side {
        Side::of_sign(self.cone_m()).unwrap_or(Side::Left)
    }
}

/// All rolls, and what they are held against.
struct Found {
    rolls: Vec<Roll>,
    clean_m: Option<f64>,
    error_m: f64,
    cake: Verdict,
    cone: Verdict,
}

impl Found {
    fn clean(asked: &Asked) -> Result<Option<f64>, Amiss> {
        let given = asked.may(&asked::CLEAN)?;
        let filed = || asked.setting.dimension(asked.chosen::<Of>(&asked::STRAND)?.path());
        Ok(given.or_else(filed).filter(|clean_m| clean_m.is_finite() && *clean_m > 0.0))
    }

    /// Cake on a roll at its thickest, if the clean diameter is known.
    fn cake_m(&self, roll: &Roll) -> Option<f64> {
        Some((roll.most_m() - self.clean_m?) / 2.0)
    }

    /// What is worn off a roll at its thinnest, likewise.
    fn worn_m(&self, roll: &Roll) -> Option<f64> {
        Some((self.clean_m? - roll.least_m()) / 2.0)
    }

    /// The roll with the most of something.
    fn most(&self, of: impl Fn(&Roll) -> f64) -> Option<&Roll> {
        self.rolls.iter().max_by(|a, b| of(a).total_cmp(&of(b)))
    }
}

fn rolls(asked: &Asked, clean_m: Option<f64>) -> Result<Vec<Roll>, Amiss> {
    let turn = if asked::by_girth(asked) { PI } else { 1.0 };
    let mut rolls: Vec<Roll> = Vec::new();
    for row in asked.rows() {
        let name = row.name(&asked::ROLL)?.to_owned();
        if rolls.iter().any(|roll| roll.name == name) {
            return Err(row.amiss(
                &asked::ROLL,
                say!("this roll is given twice: keep one of its readings, or name them apart"),
            ));
        }
        let roll = Roll {
            left_m: row.must(&asked::LEFT)? / turn,
            middle_m: row.may(&asked::MIDDLE)?.map(|it| it / turn),
            right_m: row.must(&asked::RIGHT)? / turn,
            name,
        };
        let base_m = clean_m.unwrap_or(roll.left_m);
        if roll.most_m() > MOST_TIMES * base_m || roll.least_m() < base_m / MOST_TIMES {
            let girth = if turn > 1.0 {
                "Give girths here, and the clean diameter"
            } else {
                "Give diameters, not girths"
            };
            return Err(row.amiss(
                &asked::LEFT,
                say!(format!(
                    "these sizes are no roll of that diameter: measure them again. {girth}"
                )),
            ));
        }
        rolls.push(roll);
    }
    Ok(rolls)
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let clean_m = Found::clean(&asked)?;
    let error_m = error_m(&asked)?;
    let rolls = rolls(&asked, clean_m)?;
    let mut found =
        Found { rolls, clean_m, error_m, cake: Verdict::NoLimit, cone: Verdict::NoLimit };
    let Some(cone) = found.most(|roll| roll.cone_m().abs()) else {
        return Err(Amiss::all(say!("no rolls: measure the one where the belt leaves centre")));
    };
    let mut figures = Vec::new();
    let half = |figure: Figure| figure.off_by(Kind::Length, error_m / 2.0);
    let over = Basis::Derived("half of the diameter over the clean one");
    if let Some(caked) = found.most(Roll::most_m)
        && let Some(cake_m) = found.cake_m(caked)
    {
        let what = say!(format!("thickest cake, on roll {}", caked.name));
        figures.push(
            half(Figure::of("cake", what, Kind::Length, cake_m.max(0.0), over))
                .against(setting.limit(&shipped::ROLL_CAKE)),
        );
    }
    if let Some(worn) = found.most(|roll| -roll.least_m())
        && let Some(worn_m) = found.worn_m(worn)
    {
        let what = say!(format!("most worn off the shell, of roll {}", worn.name));
        figures.push(half(Figure::of("worn", what, Kind::Length, worn_m.max(0.0), over)));
    }
    let what = say!(
        format!("diameter of the ends of roll {}: ", cone.name),
        Side::Left,
        " less ",
        Side::Right
    );
    let cone = Figure::of(
        "cone",
        what,
        Kind::Length,
        cone.cone_m(),
        Basis::Derived("the readings at both ends"),
    )
    .off_by(Kind::Length, 2.0_f64.sqrt() * error_m)
    .against(setting.limit(&shipped::ROLL_ENDS));
    found.cone = cone.verdict;
    figures.push(cone);
    found.cake =
        figures.iter().find(|it| it.id == "cake").map_or(Verdict::NoLimit, |it| it.verdict);
    let word = match found.cake {
        Verdict::Beyond => Some("caked"),
        Verdict::Within => Some("bare"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    Ok(Outcome {
        says: told::says(&found, &figures),
        verdict: found.cake.worse(found.cone),
        tells: if found.clean_m.is_some() { vec![("caked", word)] } else { Vec::new() },
        work: told::work(&found, setting),
        notes: told::notes(&found),
        amount: None,
        plot: Some(told::plot(&found, setting)),
        figures,
    })
}
