//! What pull a take-up weight makes in the belt, through its rope and sheaves.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::Asked;
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::conveyor::quantity::Quantity;
use crate::gauge::Amount;
use crate::say;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "weight",
    title: "Take-up weight and belt pull",
    about: "Works out what pull a take-up weight makes in the belt through its rope, and holds the weight against the drawing.",
    ways: &[asked::HUNG],
    tells: &[Tell { id: "hangs", words: &["as-drawn", "too-heavy", "too-light"] }],
    limits: shipped::OF_WEIGHT,
    foretell,
    work,
};

/// More parts of rope than this are no take-up.
const MOST_PARTS: u32 = 12;

/// A weight, and how it pulls at the take-up pulley.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hung {
    /// What hangs, N.
    pub weight_n: f64,
    /// Parts of rope that pull at the pulley.
    pub carriage_parts: u32,
    /// Parts of rope that carry the weight.
    pub weight_parts: u32,
    /// Weight of pulley and carriage, N.
    pub own_n: f64,
    /// The slope that they run down; nothing if they hang.
    pub slope_rad: Option<f64>,
}

impl Hung {
    /// The pull of the rope at the pulley.
    pub fn rope_n(self) -> f64 {
        self.weight_n / f64::from(self.weight_parts) * f64::from(self.carriage_parts)
    }

    /// The pull on the take-up pulley: the rope's, and the part of its own weight that points the same way.
    pub fn pull_n(self) -> f64 {
        self.rope_n() + self.own_n * self.slope_rad.map_or(1.0, f64::sin)
    }

    /// The pull in the belt: two strands hold the pulley.
    pub fn strand_n(self) -> f64 {
        self.pull_n() / 2.0
    }
}

fn hung(asked: &Asked) -> Result<Hung, Amiss> {
    let parts = |wanted| match asked.count(wanted).unwrap_or(1) {
        count @ 1..=MOST_PARTS => Ok(count),
        _ => Err(Amiss::with(
            wanted.key,
            say!("no take-up has so many parts of rope: follow the rope and count again"),
        )),
    };
    let slope_rad = asked.may(&asked::SLOPE)?;
    if slope_rad.is_some_and(|slope| slope > std::f64::consts::FRAC_PI_2) {
        return Err(Amiss::with(
            key::SLOPE,
            say!("nothing is steeper than straight down: give the angle from level"),
        ));
    }
    Ok(Hung {
        weight_n: asked.must(&asked::WEIGHT)?,
        carriage_parts: parts(&asked::CARRIAGE_PARTS)?,
        weight_parts: parts(&asked::WEIGHT_PARTS)?,
        own_n: asked.or(&asked::OWN_WEIGHT, 0.0)?,
        slope_rad,
    })
}

/// What a count of blocks tells.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error = Asked::of(readings, setting).error(&asked::ERROR, &read_by::WEIGHED).ok()?;
    let limit = setting.limit(&shipped::WEIGHT_DRAWN);
    Some(CanTell::of("the weight against the drawing", Kind::Percent, error, limit))
}

/// What was found, with its errors.
struct Found {
    hung: Hung,
    /// How far the weight may be off, as a share.
    error: f64,
    /// How far the pull of the take-up may be off, N: the weight's error, and what sheaves and guides hold back either way.
    pull_error_n: f64,
    drawn_n: Option<f64>,
    needed_n: Option<f64>,
    /// What the belt is rated for over its width.
    rated_n: Option<f64>,
    drawing: Verdict,
    need: Verdict,
}

fn found(asked: &Asked) -> Result<Found, Amiss> {
    let hung = hung(asked)?;
    let error = asked.error(&asked::ERROR, &read_by::WEIGHED)?;
    let friction = asked.error(&asked::FRICTION, &read_by::SHEAVES)?;
    if friction >= 1.0 {
        return Err(Amiss::with(
            key::FRICTION,
            say!("a take-up that holds all of its pull back is jammed: free it first"),
        ));
    }
    let drawn_n = asked.may(&asked::DRAWN)?;
    let needed_n = asked.may(&asked::NEEDED)?;
    let rated = (asked.may(&asked::WIDTH)?, asked.may(&asked::RATED)?);
    let limit = asked.setting.limit(&shipped::WEIGHT_DRAWN).size.si();
    let pull_error_n = (error * hung.rope_n()).hypot(friction * hung.pull_n());
    let strand_error_n = pull_error_n / 2.0;
    let need = needed_n.map_or(Verdict::NoLimit, |needed_n| {
        let over_n = hung.strand_n() - needed_n;
        if over_n.abs() < strand_error_n {
            Verdict::TooClose
        } else if over_n < 0.0 {
            Verdict::Beyond
        } else {
            Verdict::Within
        }
    });
    Ok(Found {
        drawing: drawn_n.map_or(Verdict::NoLimit, |drawn_n| {
            let ratio = hung.weight_n / drawn_n;
            Verdict::of(ratio - 1.0, limit, error * ratio)
        }),
        hung,
        error,
        pull_error_n,
        drawn_n,
        needed_n,
        rated_n: rated.0.zip(rated.1).map(|(width_m, rated)| width_m * rated),
        need,
    })
}

fn figures(found: &Found, setting: &Setting) -> Vec<Figure> {
    let hung = found.hung;
    let by_rope = Basis::Derived("weight over its parts of rope, times those at the pulley");
    let halves = Basis::Derived("two strands hold the take-up pulley");
    let strand_error_n = found.pull_error_n / 2.0;
    let mut figures = vec![
        Figure::of(
            "strand",
            say!("pull in each strand at the take-up"),
            Kind::Force,
            hung.strand_n(),
            halves,
        )
        .off_by(Kind::Force, strand_error_n),
        Figure::of("pull", say!("pull on the take-up pulley"), Kind::Force, hung.pull_n(), by_rope)
            .off_by(Kind::Force, found.pull_error_n),
    ];
    if let Some(drawn_n) = found.drawn_n {
        let ratio = hung.weight_n / drawn_n;
        let what = say!("weight over the drawing's, plus: too heavy");
        figures.push(
            Figure::of(
                "over-drawn",
                what,
                Kind::Percent,
                ratio - 1.0,
                Basis::Derived("weight over the drawing's"),
            )
            .off_by(Kind::Percent, found.error * ratio)
            .against(setting.limit(&shipped::WEIGHT_DRAWN)),
        );
    }
    if let Some(needed_n) = found.needed_n {
        let what = say!("pull in the strand, times what it needs");
        let margin = Figure::of("margin", what, Kind::Number, hung.strand_n() / needed_n, halves)
            .off_by(Kind::Number, strand_error_n / needed_n);
        figures.push(Figure { verdict: found.need, ..margin });
    }
    if let Some(rated_n) = found.rated_n {
        let what = say!("pull, of the belt's rated working tension");
        figures.push(
            Figure::of("rated-share", what, Kind::Percent, hung.strand_n() / rated_n, halves)
                .off_by(Kind::Percent, strand_error_n / rated_n)
                .against(setting.limit(&shipped::RATED_SHARE)),
        );
    }
    figures
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let found = found(&asked)?;
    let figures = figures(&found, setting);
    let verdict =
        figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    let over_n = found.drawn_n.map(|drawn_n| found.hung.weight_n - drawn_n);
    let word = match (found.drawing, over_n) {
        (Verdict::Within, _) => Some("as-drawn"),
        (Verdict::Beyond, Some(over_n)) => {
            Some(if over_n > 0.0 { "too-heavy" } else { "too-light" })
        }
        _ => None,
    };
    let amount = over_n.filter(|_| found.drawing == Verdict::Beyond).map(|over_n| Amount {
        size: Quantity::of(Kind::Force, over_n.abs()),
        error: Some(Quantity::of(Kind::Force, found.error * found.hung.weight_n)),
        at: say!("the take-up weight, ", if over_n > 0.0 { "to come off" } else { "to go on" }),
    });
    Ok(Outcome {
        says: told::says(&found, &figures),
        verdict,
        tells: if found.drawn_n.is_some() { vec![("hangs", word)] } else { Vec::new() },
        work: told::work(&found, over_n),
        notes: told::notes(&asked, &found),
        amount,
        plot: None,
        figures,
    })
}
