//! What two bearing temperatures mean.

use super::super::{Basis, Figure, Kind, Limit, Mark, Outcome, Setting, Verdict, Words};
use super::bands::{Band, Dust, Why, band, limit_of, worst};
use super::{GLOW_OR_SMOKE, Pair};
use crate::conveyor::quantity::Quantity;
use crate::gauge::limits::shipped::{
    BEARING_CHANGE, BEARING_DIFFERENCE, BEARING_RISE, BEARING_WATCH,
};
use crate::say;
use crate::trade::Side;

const SIDES: [Side; 2] = [Side::Left, Side::Right];
const READ: Basis = Basis::Derived("as read");
const LESS: Basis = Basis::Derived("difference of two readings; their errors added as squares");

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
    let against =
        |limit, size: f64, error: f64| Verdict::of(size, setting.limit(limit).size.si(), error);
    let difference = pair.difference_k();
    let apart = against(&BEARING_DIFFERENCE, difference, pair.difference_error_k());
    // Hot by the mark, or by what it stands over the air.
    let hot = |kelvin: f64| {
        let by_mark = against(&BEARING_WATCH, kelvin, pair.error_k);
        let by_air = pair
            .ambient_k
            .map(|air| against(&BEARING_RISE, (kelvin - air).max(0.0), pair.difference_error_k()));
        by_air.map_or(by_mark, |by_air| by_mark.worse(by_air))
    };
    let (hotter, cooler) = (hot(pair.hotter_k()), hot(pair.cooler_k()));
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
    let worst = worst(pair, setting);
    let figures = figures(pair, setting);
    let folded = figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    let verdict = if together == Together::BothHot { Verdict::Beyond } else { folded };
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
        tells: vec![("bearings", word), ("band", Some(worst.word()))],
        work: work(pair, setting, together, worst),
        notes: notes(pair, setting, together),
        amount: None,
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
        // Not hot, yet risen fast where dust burns.
        Together::Normal if worst >= Band::Report => say!(
            "Both bearings are about alike and neither is hot yet, but it has come to ",
            worst.word(),
            ": why stands below."
        ),
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
        Together::TooClose if worst >= Band::Report => say!(
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
                .against(limit_of(kelvin, setting))
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
            .against(setting.limit(&BEARING_DIFFERENCE)),
    );
    for (id, side) in [("left-change", Side::Left), ("right-change", Side::Right)] {
        if let Some(change) = pair.rise(side) {
            figures.push(
                Figure::of(
                    id,
                    say!("Change of the ", side, " one since the last reading"),
                    Kind::Rise,
                    change,
                    LESS,
                )
                .off_by(Kind::Rise, pair.difference_error_k())
                .against(setting.limit(&BEARING_CHANGE)),
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
                .off_by(Kind::Rise, pair.difference_error_k())
                .against_above(setting.limit(&BEARING_RISE)),
            );
        }
    }
    figures
}

/// What to do, the most urgent first.
fn work(pair: &Pair, setting: &Setting, together: Together, worst: Band) -> Vec<Words> {
    let mut work = Vec::new();
    let does = match worst {
        Band::Stop => Some(say!(
            "Stop: have the conveyor stopped now, by the site's procedure, and stay out. This bearing can start a fire."
        )),
        Band::Call => Some(say!("Call: call the supervisor now, and stay out till it is decided.")),
        Band::Report => {
            Some(say!("Report: tell the supervisor today, and read both again within the shift."))
        }
        Band::Watch => Some(say!("Watch: read both again each shift until they are put right.")),
        Band::Usual => None,
    };
    if let Some(does) = does {
        work.push(say!(GLOW_OR_SMOKE));
        work.push(does);
    }
    // A change past its limit matters at any level; where dust burns a rise has put it into `stop` already.
    let limit = setting.limit(&BEARING_CHANGE);
    if worst < Band::Report
        && SIDES.iter().any(|side| {
            let change = pair.rise(*side).map_or(0.0, f64::abs);
            Verdict::of(change, limit.size.si(), pair.difference_error_k()) == Verdict::Beyond
        })
    {
        work.push(say!(
            "It has changed by more than ",
            limit.size,
            " since the last reading: tell the supervisor today, and read both again within the shift."
        ));
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

/// Where a band begins, in the words before its limit; nothing below all of them.
fn begins(why: Why) -> Option<(&'static str, Limit)> {
    match why {
        Why::Below => None,
        Why::Reached(limit) => Some((", from ", limit)),
        Why::ReachedInDust(limit) => Some((", which begins where dust burns at ", limit)),
        Why::RisenInDust(limit) => Some((", which begins where dust burns at a rise of ", limit)),
        Why::OverAir(limit) => Some((", from a rise over the air of ", limit)),
    }
}

/// What it rests on that a band begins there. That the published change stops a dusty conveyor is practice.
fn rests_on(why: Why, mark: Mark) -> &'static str {
    match (why, mark) {
        (_, Mark::Site | Mark::Rules(_)) => " (set by this site)",
        (Why::Reached(_), Mark::Rests(Basis::Published(..))) => " (published)",
        _ => " (common practice)",
    }
}

fn notes(pair: &Pair, setting: &Setting, together: Together) -> Vec<Words> {
    let mut notes = Vec::new();
    let mut by_dust = false;
    for side in SIDES {
        let (is, why) = band(pair, setting, side, false);
        if let Some((begins, limit)) = begins(why) {
            by_dust |= matches!(why, Why::ReachedInDust(_) | Why::RisenInDust(_));
            let mark = rests_on(why, limit.mark);
            notes.push(say!("The ", side, " bearing: ", is.word(), begins, limit.size, mark, "."));
        }
        let (may_be, why) = band(pair, setting, side, true);
        if let Some((begins, limit)) = begins(why).filter(|_| may_be > is) {
            by_dust |= matches!(why, Why::ReachedInDust(_) | Why::RisenInDust(_));
            let mark = rests_on(why, limit.mark);
            notes.push(say!(
                "Within the reading error the ",
                side,
                " bearing may have come further: ",
                may_be.word(),
                begins,
                limit.size,
                mark,
                ". Act as if it had."
            ));
        }
    }
    if by_dust && pair.dust == Dust::NotSaid {
        notes.push(say!(
            "Nobody has said whether dust that burns lies here, so it is taken that it does. Where none does, the \
             conveyor's file says so: dust_burns: \"no\"."
        ));
    }
    match together {
        Together::OneHotter(side) => notes.push(say!(
            "One hotter bearing points to a pulley pulled askew with the ", side, " side tight, to lost grease or a spoilt seal, \
             or to a bearing that is going."
        )),
        Together::BothHot => notes.push(say!(
            "Both hot: the belt may be too tight, or both have too much or too little grease. Or the heat comes from the \
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
