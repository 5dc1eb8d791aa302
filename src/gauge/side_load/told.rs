//! Side load in words, figures and a picture.

use super::super::asked::{force, length, share};
use super::super::{
    Amiss, Basis, Figure, Kind, Outcome, Plot, Setting, Verdict, Words, bearing_life, plots, shaft,
    tension,
};
use super::shared::{Shared, Spread, spread_over};
use super::{Case, left_out};
use crate::gauge::limits::shipped::{BEARING_TILT, HUB_SLOPE, HUB_SLOPE_OLDER, SHAFT_BENDING};
use crate::say;
use crate::trade::{RollingElement, Side};

/// What the split between the sides rests on.
const SPLIT: Basis = Basis::Derived(
    "each strand as a beam in its own plane, its end turned by the pulley; no measurement is published",
);
/// A life is not told in hours beyond this: nothing lasts so long.
const LONGEST_H: f64 = 1e6;

/// The outcome.
pub(super) fn outcome(case: &Case, setting: &Setting) -> Result<Outcome, Amiss> {
    let after = Shared::new(case, case.turn.loads()?);
    let spread = spread_over(case, &after);
    let mut figures = load_figures(case, &after, &spread);
    figures.extend(life_figures(case, &after));
    figures.extend(shaft_figures(case, &after, &spread, setting));
    figures.extend(belt_figures(case, &after, setting));
    let verdict =
        figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    Ok(Outcome {
        says: says(case, &after),
        verdict,
        figures,
        tells: Vec::new(),
        work: Vec::new(),
        notes: left_out::notes(case, &after, &spread, setting),
        amount: None,
        plot: Some(plot(case, &after)),
    })
}

fn says(case: &Case, after: &Shared) -> Words {
    let before_n = case.turn.load_n;
    if case.turn.moved_m == 0.0 {
        return say!("No screw is moved: both sides carry ", force(before_n), ".");
    }
    let (turned, moved) = (case.side, length(case.turn.moved_m.abs()));
    let way = if case.turn.moved_m > 0.0 { " screw tightened by " } else { " screw slackened by " };
    say!(
        "The ",
        turned,
        way,
        moved,
        ": the ",
        after.tight,
        " side then carries ",
        force(after.tight_n),
        " instead of ",
        force(before_n),
        ", ",
        share(after.ratio() - 1.0),
        " more than the ",
        after.tight.other(),
        " side.",
    )
}

fn load_figures(case: &Case, after: &Shared, spread: &Spread) -> Vec<Figure> {
    let loose = after.tight.other();
    let (tight_off, slack_off) =
        (Spread::off(after.tight_n, spread.tight), Spread::off(after.slack_n, spread.slack));
    let ratio_off = after.ratio() * (tight_off / after.tight_n + slack_off / after.slack_n);
    vec![
        Figure::of(
            "load-tight",
            say!("Load on the ", after.tight, " side after"),
            Kind::Force,
            after.tight_n,
            SPLIT,
        )
        .off_by(Kind::Force, tight_off),
        Figure::of(
            "load-slack",
            say!("Load on the ", loose, " side after"),
            Kind::Force,
            after.slack_n,
            SPLIT,
        )
        .off_by(Kind::Force, slack_off),
        Figure::of(
            "load-before",
            say!("Load on each side before"),
            Kind::Force,
            case.turn.load_n,
            Basis::Derived("as given"),
        )
        .off_by(Kind::Force, case.turn.load_n * case.load_off),
        Figure::of(
            "ratio",
            say!("The ", after.tight, " side carries, times the ", loose, " side"),
            Kind::Number,
            after.ratio(),
            SPLIT,
        )
        .off_by(Kind::Number, ratio_off),
    ]
}

fn life_figures(case: &Case, after: &Shared) -> Vec<Figure> {
    let kinds = [
        (RollingElement::Ball, "life-left-ball", "life-against-ball", "ball"),
        (RollingElement::Roller, "life-left-roller", "life-against-roller", "roller"),
    ];
    let mut figures = Vec::new();
    for (rolling, left_id, against_id, name) in kinds {
        if case.rolling.is_some_and(|known| known != rolling) {
            continue;
        }
        let left = bearing_life::life_left(after.tight_n / case.turn.load_n, rolling);
        let against = bearing_life::life_left(after.ratio(), rolling);
        figures.push(Figure::of(
            left_id,
            say!("Fatigue life left to the ", after.tight, " ", name, " bearing, of before"),
            Kind::Percent,
            left,
            bearing_life::LIFE,
        ));
        figures.push(Figure::of(
            against_id,
            say!("Fatigue life of that bearing, of the ", after.tight.other(), " one's"),
            Kind::Percent,
            against,
            bearing_life::LIFE,
        ));
    }
    figures.extend(hour_figures(case, after));
    figures
}

fn hour_figures(case: &Case, after: &Shared) -> Vec<Figure> {
    let (Some(rolling), Some((rating_n, turns))) = (case.rolling, case.life) else {
        return Vec::new();
    };
    [
        ("life-before", "Rated fatigue life of each bearing before", case.turn.load_n),
        ("life-after", "Rated fatigue life of the overloaded one after", after.tight_n),
    ]
    .into_iter()
    .map(|(id, what, load_n)| (id, what, bearing_life::hours(rating_n, load_n, turns, rolling)))
    .filter(|(_, _, hours)| *hours <= LONGEST_H)
    .map(|(id, what, hours)| {
        Figure::of(id, say!(what), Kind::Time, hours * 3600.0, bearing_life::LIFE)
    })
    .collect()
}

fn shaft_figures(case: &Case, after: &Shared, spread: &Spread, setting: &Setting) -> Vec<Figure> {
    let Some(pulley) = case.shaft else {
        return Vec::new();
    };
    let before = pulley.slope_equal(2.0 * case.turn.load_n);
    let slope = pulley.slope_unequal(after.tight_n, after.slack_n);
    let slope_off = spread.slope_off(slope);
    let bending_of = |load_n: f64| pulley.stress_pa(load_n) / shaft::BENDING_PA;
    let bending = bending_of(after.tight_n);
    let bending_off = bending_of(Spread::off(after.tight_n, spread.tight));
    let bends = Basis::Derived("load of the bearing times its distance from the hub, no torque");
    vec![
        Figure::of(
            "hub-slope",
            say!("Slope of the shaft at the ", after.tight, " hub after"),
            Kind::Number,
            slope,
            shaft::SLOPE,
        )
        .off_by(Kind::Number, slope_off)
        .against(setting.limit(&HUB_SLOPE)),
        Figure::of(
            "hub-slope-older",
            say!("Slope there, against the older limit"),
            Kind::Number,
            slope,
            shaft::SLOPE,
        )
        .off_by(Kind::Number, slope_off)
        .against(setting.limit(&HUB_SLOPE_OLDER)),
        Figure::of(
            "hub-slope-before",
            say!("Slope of the shaft at both hubs before"),
            Kind::Number,
            before,
            shaft::SLOPE,
        )
        .against(setting.limit(&HUB_SLOPE)),
        Figure::of(
            "shaft-bending",
            say!("Bending of the shaft at that hub, of 55 MPa"),
            Kind::Percent,
            bending,
            bends,
        )
        .off_by(Kind::Percent, bending_off)
        .against(setting.limit(&SHAFT_BENDING)),
    ]
}

fn belt_figures(case: &Case, after: &Shared, setting: &Setting) -> Vec<Figure> {
    let loads = &after.loads;
    let geometry = Basis::Derived("movement of the screw over the distance between the bearings");
    let skew = Figure::of(
        "skew",
        say!("The pulley stands askew by"),
        Kind::Angle,
        // The strands are reckoned with the tangent.
        loads.skew_rad.abs().atan(),
        geometry,
    )
    .off_by(Kind::Angle, case.error_m / case.turn.bearing_centres_m);
    let skew = if case.rolling == Some(RollingElement::Roller) {
        skew
    } else {
        skew.against(setting.limit(&BEARING_TILT))
    };
    let mut figures = vec![
        skew,
        Figure::of(
            "slack-edge",
            say!("Pull left in the ", after.tight.other(), " edge of the belt, per width"),
            Kind::Modulus,
            loads.slack_edge_n_per_m,
            SPLIT,
        ),
        Figure::of(
            "tight-edge",
            say!("Pull in the ", after.tight, " edge, per width"),
            Kind::Modulus,
            loads.tight_edge_n_per_m,
            SPLIT,
        ),
        Figure::of(
            "absorbed",
            say!("Length of belt that takes up the skew"),
            Kind::Distance,
            loads.absorbed_m,
            SPLIT,
        ),
        Figure::of(
            "tension",
            say!("Pull in each strand after"),
            Kind::Force,
            loads.strand_n,
            tension::RISE,
        ),
    ];
    if loads.mean_rise_n > 0.0 {
        let turns = f64::from(case.corrections);
        let later = case.turn.load_n + turns * loads.mean_rise_n;
        let times = later / case.turn.load_n;
        figures.push(Figure::of(
            "tension-later",
            say!(format!("Pull in each strand after {} such corrections", case.corrections)),
            Kind::Force,
            later,
            tension::RISE,
        ));
        figures.push(Figure::of(
            "tension-times",
            say!("Pull then, times the pull before"),
            Kind::Number,
            times,
            tension::RISE,
        ));
    }
    figures
}

fn plot(case: &Case, after: &Shared) -> Plot {
    let (left_n, right_n) = after.left_and_right();
    let before = force(case.turn.load_n);
    plots::bars(
        "Load on each side, before and after",
        vec![
            (say!(Side::Left, " before"), before),
            (say!(Side::Right, " before"), before),
            (say!(Side::Left, " after"), force(left_n)),
            (say!(Side::Right, " after"), force(right_n)),
        ],
    )
}
