//! What two bearing temperatures mean.

use super::super::{Figure, Kind, Limit, Mark, Outcome, Setting, Side, Verdict, Words};
use super::Pair;
use crate::conveyor::quantity::Quantity;
use crate::say;

const READ: Mark = Mark::Derived("as read");
const LESS: Mark = Mark::Derived("difference of two readings; their errors added as squares");

/// How hot a bearing is, by the bands of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Band {
    Usual,
    Caution,
    Alert,
    Alarm,
    Stop,
}

/// All bands above the usual one, the highest first.
const BANDS: [(Band, &str); 4] = [
    (Band::Stop, "bearing-shutdown"),
    (Band::Alarm, "bearing-alarm"),
    (Band::Alert, "bearing-alert"),
    (Band::Caution, "bearing-caution"),
];

/// The highest band that a temperature reaches, and its limit; the caution limit when it reaches none.
fn band(kelvin: f64, setting: &Setting) -> (Band, Option<Limit>) {
    for (band, id) in BANDS {
        let limit = setting.limit(id);
        if limit.is_some_and(|limit| kelvin >= limit.size.si()) {
            return (band, limit);
        }
    }
    (Band::Usual, setting.limit("bearing-caution"))
}

/// What the two temperatures say together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Together {
    Normal,
    OneHotter(Side),
    BothHot,
    TooClose,
}

/// One clearly hotter counts before both hot, whatever both are.
fn together(pair: &Pair, setting: &Setting) -> Together {
    let against = |id: &str, size: f64, error: f64| {
        setting
            .limit(id)
            .map_or(Verdict::NoLimit, |limit| Verdict::of(size, limit.size.si(), error))
    };
    let difference = pair.difference_k();
    let apart = against("bearing-difference", difference, pair.difference_error_k());
    let hotter = against("bearing-caution", pair.hotter_k(), pair.error_k);
    let cooler = against("bearing-caution", pair.cooler_k(), pair.error_k);
    match (apart, hotter, cooler, Side::of_sign(difference)) {
        (Verdict::Beyond, _, _, Some(side)) => Together::OneHotter(side),
        (Verdict::Within, Verdict::Beyond, Verdict::Beyond, _) => Together::BothHot,
        (Verdict::Within, Verdict::Within, Verdict::Within, _) => Together::Normal,
        _ => Together::TooClose,
    }
}

/// The outcome.
pub(super) fn outcome(pair: &Pair, setting: &Setting) -> Outcome {
    let together = together(pair, setting);
    let (worst, _) = band(pair.hotter_k(), setting);
    let figures = figures(pair, setting);
    let verdict =
        figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    let word = match together {
        Together::Normal => Some("normal"),
        Together::OneHotter(_) => Some("one-hotter"),
        Together::BothHot => Some("both-hot"),
        Together::TooClose => None,
    };
    Outcome {
        says: says(pair, together, worst),
        verdict,
        figures,
        tells: vec![("bearings", word)],
        work: work(together, worst),
        notes: notes(pair, setting, together),
        plot: None,
    }
}

fn temperature(kelvin: f64) -> Quantity {
    Quantity::of(Kind::Temperature, kelvin)
}

fn rise(kelvin: f64) -> Quantity {
    Quantity::of(Kind::Rise, kelvin)
}

fn says(pair: &Pair, together: Together, worst: Band) -> Words {
    match together {
        Together::Normal => say!("Both bearings are about alike, and neither is hot."),
        Together::OneHotter(side) => {
            say!(
                "The ",
                side,
                " bearing is clearly hotter, by ",
                rise(pair.difference_k().abs()),
                "."
            )
        }
        Together::BothHot => {
            say!("Both bearings are hot and about alike, up to ", temperature(pair.hotter_k()), ".")
        }
        // Nobody waits for a second reading of a bearing this hot.
        Together::TooClose if worst >= Band::Alert => say!(
            "The hotter bearing reads ",
            temperature(pair.hotter_k()),
            ". Whether one or both are hot is too close to call."
        ),
        Together::TooClose => say!(
            "Too close to call: measure again after another hour's running, at the same dull spot of both housings."
        ),
    }
}

fn figures(pair: &Pair, setting: &Setting) -> Vec<Figure> {
    let [left, right] = pair.now_k;
    let mut figures: Vec<Figure> = [("left", Side::Left, left), ("right", Side::Right, right)]
        .into_iter()
        .map(|(id, side, kelvin)| {
            Figure::of(id, say!("The ", side, " bearing"), Kind::Temperature, kelvin, READ)
                .off_by(Kind::Rise, pair.error_k)
                .against(band(kelvin, setting).1)
        })
        .collect();
    let apart = pair.difference_k();
    let what = match Side::of_sign(apart) {
        Some(side) => say!("The ", side, " one is hotter by"),
        None => say!("They differ by"),
    };
    figures.push(
        Figure::of("difference", what, Kind::Rise, apart.abs(), LESS)
            .off_by(Kind::Rise, pair.difference_error_k())
            .against(setting.limit("bearing-difference")),
    );
    let [left_before, right_before] = pair.before_k;
    for (id, side, now, before) in [
        ("left-change", Side::Left, left, left_before),
        ("right-change", Side::Right, right, right_before),
    ] {
        if let Some(before) = before {
            figures.push(
                Figure::of(
                    id,
                    say!("Change of the ", side, " one since the last reading"),
                    Kind::Rise,
                    now - before,
                    LESS,
                )
                .off_by(Kind::Rise, pair.difference_error_k())
                .against(setting.limit("bearing-change")),
            );
        }
    }
    if let Some(air) = pair.ambient_k {
        for (id, side, now) in [("left-rise", Side::Left, left), ("right-rise", Side::Right, right)]
        {
            figures.push(
                Figure::of(
                    id,
                    say!("The ", side, " one over the air"),
                    Kind::Rise,
                    now - air,
                    LESS,
                )
                .off_by(Kind::Rise, pair.difference_error_k()),
            );
        }
    }
    figures
}

/// What to do, the most urgent first.
fn work(together: Together, worst: Band) -> Vec<Words> {
    let mut work = Vec::new();
    match worst {
        Band::Stop => work.push(say!("Have the conveyor stopped now, by the site's procedure: a bearing this hot can start a fire.")),
        Band::Alarm => work.push(say!("Tell the control room now, and have the conveyor stopped as soon as the site's procedure has it.")),
        Band::Alert => work.push(say!("Report it today, and read both again within the shift.")),
        Band::Caution => work.push(say!("Read both again each shift until they are put right.")),
        Band::Usual => {}
    }
    match together {
        Together::OneHotter(side) => {
            work.push(say!(
                "Locked out and cooled down: look at grease, seals and fit of the ",
                side,
                " bearing, and turn it by hand."
            ));
            work.push(say!("Measure how both bearings of that pulley stand: a pulley pulled askew loads the tight side more."));
        }
        Together::BothHot => {
            work.push(say!("Locked out: measure the sag of the return strand. Too little of it means that the belt is too tight."));
            work.push(say!("Look in the greasing records of both bearings: too much grease heats as too little does."));
        }
        Together::Normal | Together::TooClose => {}
    }
    work
}

fn notes(pair: &Pair, setting: &Setting, together: Together) -> Vec<Words> {
    let mut notes = Vec::new();
    let (worst, limit) = band(pair.hotter_k(), setting);
    if let (true, Some(limit)) = (worst > Band::Usual, limit) {
        notes.push(say!(
            "The hotter one has reached the mark of ",
            limit.size,
            ": ",
            limit.what,
            "."
        ));
    }
    let next = BANDS
        .iter()
        .rev()
        .filter_map(|(band, id)| Some((*band, setting.limit(id)?)))
        .find(|(band, _)| *band > worst);
    if let Some((_, next)) = next
        && pair.hotter_k() + pair.error_k >= next.size.si()
    {
        notes.push(say!(
            "Within the reading error it may have reached the next mark too: ",
            next.what,
            " ",
            next.size,
            "."
        ));
    }
    match together {
        Together::OneHotter(side) => notes.push(say!(
            "One hotter bearing points to a pulley pulled askew with the ", side, " side tight, to lost grease or a spoilt seal, \
             or to a bearing that is going."
        )),
        Together::BothHot => notes.push(say!(
            "Both hot points to a belt that is too tight, to too much or too little grease on both, or to heat from the \
             load, the sun or the drive beside it."
        )),
        Together::Normal | Together::TooClose => {}
    }
    if pair.greased {
        notes.push(say!(
            "A rise of ",
            rise(14.0),
            " to ",
            rise(17.0),
            " after greasing is normal (published: lubrication journal). Read again \
             the day after."
        ));
    }
    if let Some(air) = pair.ambient_k
        && pair.cooler_k() + pair.difference_error_k() < air
    {
        notes.push(say!("A bearing reads colder than the air. Has it run for an hour? Or is the spot bright metal, which reads too cold?"));
    }
    notes
}
