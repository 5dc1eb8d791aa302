//! What the distance of a transition means.

use super::super::asked::length;
use super::super::limits::{Limit, shipped};
use super::super::{Amiss, Basis, Figure, Kind, Outcome, Setting, Verdict, Words, closer};
use super::table::{self, Height, Used};
use super::{ANGLE, Transition};
use crate::conveyor::quantity::Quantity;
use crate::say;

/// The least distance, and what it rests on.
struct Least {
    /// In belt widths: what surely serves.
    widths: f64,
    /// In belt widths: less than this is surely too near. Between two printed columns it is less than what surely serves.
    too_near: f64,
    mark: Basis,
    /// The angle of the printed column, if it is from there.
    column_deg: Option<f64>,
}

pub(super) fn outcome(transition: &Transition, setting: &Setting) -> Result<Outcome, Amiss> {
    let least = least(transition)?;
    let distance = distance(transition, &least);
    let edge = edge(transition, setting);
    let verdict = match &edge {
        Some(edge) if transition.own_widths.is_none() => distance.verdict.worse(edge.verdict),
        _ => distance.verdict,
    };
    let (says, work) =
        (says(transition, &least, (&distance, verdict)), work(transition, &least, verdict));
    let strain = Figure::of(
        "edge-strain",
        say!("how much longer the edge is than the middle there"),
        Kind::Percent,
        table::edge_strain(transition.rise_m(), transition.distance_m),
        Basis::Derived("rise of the edge in a trough of three equal rolls"),
    );
    let widths = Figure::of(
        "widths",
        say!("the distance, in belt widths"),
        Kind::Number,
        transition.distance_m / transition.width_m,
        Basis::Derived("distance over width"),
    );
    let mut figures = vec![distance, widths, strain];
    figures.extend(edge);
    figures.extend(by_stretch(transition, setting));
    let word = match verdict {
        Verdict::Within => Some("fits"),
        Verdict::Beyond => Some("too-near"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("distance", word)],
        work,
        notes: notes(transition, &least),
        amount: None,
        plot: None,
    })
}

impl Transition {
    fn rise_m(&self) -> f64 {
        table::rise_m(self.width_m, self.angle_rad, self.height)
    }

    fn used(&self) -> Used {
        self.used.unwrap_or(Used::Most)
    }
}

/// The least distance.
fn least(transition: &Transition) -> Result<Least, Amiss> {
    if let Some(widths) = transition.own_widths {
        let mark = Basis::Derived("the belt maker's own table, as given");
        return Ok(Least { widths, too_near: widths, mark, column_deg: None });
    }
    let angle = transition.angle_rad.to_degrees();
    let Transition { carcass, height, .. } = *transition;
    let printed = table::least_widths(carcass, height, transition.used(), angle)
        .zip(table::between_widths(carcass, height, transition.used(), angle))
        .zip(table::source(carcass));
    let Some((((widths, column_deg), too_near), mark)) = printed else {
        return Err(Amiss::with(
            ANGLE.key,
            say!(
                "No table is printed for a trough of ",
                Quantity::of(Kind::Angle, transition.angle_rad),
                ": give the least distance of the belt maker's own table."
            ),
        ));
    };
    Ok(Least { widths, too_near, mark, column_deg: Some(column_deg) })
}

fn distance(transition: &Transition, least: &Least) -> Figure {
    let (distance_m, error_m) = (transition.distance_m, transition.error_m);
    let over = |widths: f64| stands(distance_m - widths * transition.width_m, error_m);
    // Between two columns what the steeper one asks for surely serves, and less than what lies between them surely not.
    let verdict = match (over(least.widths), over(least.too_near)) {
        (Verdict::Within, _) => Verdict::Within,
        (_, Verdict::Beyond) => Verdict::Beyond,
        _ => Verdict::TooClose,
    };
    let limit = Limit::of(
        "transition",
        "least distance from pulley to full trough",
        length(least.widths * transition.width_m),
        least.mark,
    );
    let what = say!("distance from pulley to full trough");
    let read = Basis::Derived("as measured");
    let figure = Figure::of("distance", what, Kind::Length, distance_m, read);
    Figure { limit: Some(limit), verdict, ..figure.off_by(Kind::Length, error_m) }
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

/// The pull in the edge, of the rated pull, against the published most. Nothing without the belt's modulus.
fn edge(transition: &Transition, setting: &Setting) -> Option<Figure> {
    let stiff = transition.modulus_over_rated?;
    let pull = |distance_m: f64| {
        table::most_used(transition.used())
            + stiff * table::edge_strain(transition.rise_m(), distance_m)
    };
    let at = pull(transition.distance_m);
    let off = pull(transition.distance_m - transition.error_m) - at;
    let what = say!("pull in the edge there, of the rated pull, at the most of its row");
    let from = Basis::Derived("the edge's strain times the modulus, over what the middle has");
    Some(
        Figure::of("edge-pull", what, Kind::Percent, at, from)
            .off_by(Kind::Percent, off)
            .against(setting.limit(&shipped::TRANSITION_EDGE)),
    )
}

/// The distance at which the edge comes to the published most.
fn by_stretch(transition: &Transition, setting: &Setting) -> Option<Figure> {
    let most = setting.limit(&shipped::TRANSITION_EDGE).size.si();
    let spare = most - table::most_used(transition.used());
    let stiff = transition.modulus_over_rated.filter(|_| spare > 0.0)?;
    Some(Figure::of(
        "by-stretch",
        say!("least distance by the belt's own stretch, edge at most at that limit"),
        Kind::Length,
        table::least_m(transition.rise_m(), stiff / spare),
        Basis::Derived("the edge's strain times the modulus, over what the middle has"),
    ))
}

fn says(transition: &Transition, least: &Least, (distance, verdict): (&Figure, Verdict)) -> Words {
    let (read, least_m) = (length(transition.distance_m), least.widths * transition.width_m);
    let short = length(least_m - transition.distance_m);
    match (verdict, distance.verdict) {
        (Verdict::Within, _) => say!(
            "The first full-trough idler stands far enough from the pulley: ",
            read,
            ", at least ",
            length(least_m),
            " asked for."
        ),
        (Verdict::Beyond, Verdict::Beyond) => say!(
            "The first full-trough idler stands too near the pulley: ",
            read,
            ", ",
            short,
            " short of ",
            length(least_m),
            "."
        ),
        (Verdict::Beyond, _) => say!(
            "The first full-trough idler stands too near the pulley for this stiff belt: at ",
            read,
            " its edges are pulled too hard."
        ),
        _ => {
            let mut says = say!("Too close to call: ", read, " against ", length(least_m), ".");
            if least.too_near < least.widths {
                says.0.extend(
                    say!(" The table has no column for this angle: ask for the belt maker's own.")
                        .0,
                );
            } else {
                says.0.extend(say!(" Measure both sides again with a steel tape.").0);
                says.0.extend(closer(distance, None).0);
            }
            says
        }
    }
}

fn work(transition: &Transition, least: &Least, verdict: Verdict) -> Vec<Words> {
    if verdict != Verdict::Beyond {
        return Vec::new();
    }
    let short_m = least.widths * transition.width_m - transition.distance_m;
    let mut work = Vec::new();
    if short_m > 0.0 {
        work.push(say!(
            "Move the first full-trough idler ",
            length(short_m),
            " away from the pulley, and let a transition idler of a smaller angle carry the belt between."
        ));
    } else {
        work.push(say!(
            "Move the first full-trough idler further from the pulley, as far as the belt maker asks for this belt."
        ));
    }
    if transition.height == Height::CentreRoll {
        work.push(say!(
            "Or have the pulley set to half the depth of the trough: then half the distance serves."
        ));
    }
    work
}

fn notes(transition: &Transition, least: &Least) -> Vec<Words> {
    let mut notes = Vec::new();
    if let Some(column_deg) = least.column_deg {
        if transition.used.is_none() {
            notes.push(say!(
                "How much of the rated pull is used is not known: the row for more than 90 % is taken, which asks for most."
            ));
        }
        if least.too_near < least.widths {
            notes.push(say!(
                "Your angle is not in the table. What the column of ",
                Quantity::of(Kind::Angle, column_deg.to_radians()),
                " asks for surely serves. Between the columns ",
                length(least.too_near * transition.width_m),
                " is reckoned: less is too near."
            ));
        }
        notes.push(say!("The belt maker's own table comes first, where there is one."));
    }
    if transition.height == Height::HalfTrough {
        notes.push(say!("The pulley stands at half the depth of the trough already: the shorter distances are taken."));
    }
    notes.push(say!(
        "A pulley that stands higher or lower than both heights named is wrong by itself, whatever the distance."
    ));
    notes
}
