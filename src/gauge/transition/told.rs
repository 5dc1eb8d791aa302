//! What the distance of a transition means.

use super::super::{Amiss, Basis, Figure, Kind, Limit, Outcome, Verdict};
use super::Transition;
use super::key;
use super::table::{self, Used};
use crate::conveyor::quantity::Quantity;
use crate::say;

/// The edge may take so much more than the rated pull, as ISO 5293 has it.
const EXTRA_OF_RATED: f64 = 0.3;

pub(super) fn outcome(transition: &Transition) -> Result<Outcome, Amiss> {
    let (widths, mark, column_deg) = least(transition)?;
    let least_m = widths * transition.width_m;
    let verdict = stands(transition.distance_m - least_m, transition.error_m);
    let length = |si| Quantity::of(Kind::Length, si);
    let short = length(least_m - transition.distance_m);
    let says = match verdict {
        Verdict::Within => say!(
            "The first full-trough idler stands far enough from the pulley: ",
            length(transition.distance_m),
            ", at least ",
            length(least_m),
            " asked for."
        ),
        Verdict::Beyond => say!(
            "The first full-trough idler stands too near the pulley: ",
            length(transition.distance_m),
            ", ",
            short,
            " short of ",
            length(least_m),
            "."
        ),
        Verdict::TooClose | Verdict::NoLimit => say!(
            "Too close to call: ",
            length(transition.distance_m),
            " against ",
            length(least_m),
            ". Measure both sides again with a steel tape."
        ),
    };
    let rise_m = table::rise_m(transition.width_m, transition.angle_rad, transition.height);
    let distance = Figure::of(
        "distance",
        say!("distance from pulley to full trough"),
        Kind::Length,
        transition.distance_m,
        Basis::Derived("as measured"),
    );
    let distance = Figure {
        limit: Some(Limit {
            id: "transition",
            what: "least distance from pulley to full trough",
            size: length(least_m),
            mark: mark.into(),
        }),
        verdict,
        ..distance.off_by(Kind::Length, transition.error_m)
    };
    let mut figures = vec![
        distance,
        Figure::of(
            "widths",
            say!("the distance, in belt widths"),
            Kind::Number,
            transition.distance_m / transition.width_m,
            Basis::Derived("distance over width"),
        ),
        Figure::of(
            "edge-strain",
            say!("how much longer the edge is than the middle there"),
            Kind::Percent,
            table::edge_strain(rise_m, transition.distance_m),
            Basis::Derived("rise of the edge in a trough of three equal rolls"),
        ),
    ];
    figures.extend(transition.modulus_over_rated.map(|modulus_over_rated| {
        Figure::of(
            "by-stretch",
            say!("least distance by the belt's own stretch, edge at most 130 % of the rated pull"),
            Kind::Length,
            table::least_m(rise_m, modulus_over_rated / EXTRA_OF_RATED),
            Basis::Memory,
        )
    }));
    let work = match verdict {
        Verdict::Beyond => vec![
            say!(
                "Move the first full-trough idler ",
                short,
                " away from the pulley, and let a transition idler of a smaller angle carry the belt between."
            ),
            say!(
                "Or have the pulley set to half the depth of the trough: then half the distance serves."
            ),
        ],
        _ => Vec::new(),
    };
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![(
            "distance",
            match verdict {
                Verdict::Within => Some("fits"),
                Verdict::Beyond => Some("too-near"),
                Verdict::TooClose | Verdict::NoLimit => None,
            },
        )],
        work,
        notes: notes(transition, column_deg),
        amount: None,
        plot: None,
    })
}

/// How a distance stands against the least: the other way round than against a limit that must not be passed.
fn stands(over_m: f64, error_m: f64) -> Verdict {
    if over_m.abs() < error_m {
        Verdict::TooClose
    } else if over_m < 0.0 {
        Verdict::Beyond
    } else {
        Verdict::Within
    }
}

/// The least distance in belt widths, what it rests on, and the angle of the printed column if it is from there.
fn least(transition: &Transition) -> Result<(f64, Basis, Option<f64>), Amiss> {
    if let Some(widths) = transition.own_widths {
        return Ok((widths, Basis::Derived("the belt maker's own table, as given"), None));
    }
    let angle = transition.angle_rad.to_degrees();
    let used = transition.used.unwrap_or(Used::Most);
    let printed = table::least_widths(transition.carcass, transition.height, used, angle)
        .zip(table::source(transition.carcass));
    let Some(((widths, column_deg), source)) = printed else {
        return Err(Amiss::with(
            key::TROUGH_ANGLE,
            say!(
                "No table is printed for a trough of ",
                Quantity::of(Kind::Angle, transition.angle_rad),
                ": give the least distance of the belt maker's own table."
            ),
        ));
    };
    Ok((widths, source, Some(column_deg)))
}

fn notes(transition: &Transition, column_deg: Option<f64>) -> Vec<crate::gauge::Words> {
    let mut notes = Vec::new();
    let angle_deg = transition.angle_rad.to_degrees();
    if let Some(column_deg) = column_deg {
        if transition.used.is_none() {
            notes.push(say!(
                "How much of the rated pull is used is not known: the row for more than 90 % is taken, which asks for most."
            ));
        }
        if (column_deg - angle_deg).abs() > 1.0 {
            notes.push(say!(
                "Your angle is not in the table: the column of ",
                Quantity::of(Kind::Angle, column_deg.to_radians()),
                " is taken, which asks for more."
            ));
        }
        notes.push(say!("The belt maker's own table comes first, where there is one."));
    }
    notes.push(say!(
        "A pulley that stands higher or lower than both heights named is wrong by itself, whatever the distance."
    ));
    notes
}
