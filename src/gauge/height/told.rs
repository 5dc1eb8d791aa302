//! What is said and drawn of an idler among its neighbours.

use super::super::asked::length;
use super::super::{Amount, Figure, Kind, Plot, Verdict, Words, closer, plots};
use super::{Idler, Worst};
use crate::say;

fn high_or_low(idler: &Idler) -> &'static str {
    if idler.rise_m > 0.0 { "high" } else { "low" }
}

/// The sentence that says it all.
pub(super) fn says(worst: &Worst, figures: &[&Figure]) -> Words {
    let (rise, tilt) = (worst.rise, worst.tilt);
    let high = length(rise.rise_m.abs());
    let low = length(tilt.tilt_m.abs());
    match (tilt.tilt, rise.rise) {
        (Verdict::Beyond, _) => say!(
            format!("Idler {} stands tilted across: its ", tilt.name),
            tilt.low(),
            " end is lower by ",
            low,
            ". The belt slides to the low end."
        ),
        (_, Verdict::Beyond) => say!(
            format!("Idler {} stands {} by ", rise.name, high_or_low(rise)),
            high,
            " against the two beside it."
        ),
        (Verdict::Within, Verdict::Within) => say!(
            "The idlers stand alike: the worst is off by ",
            high,
            " in height and ",
            low,
            " across."
        ),
        _ => {
            let mut says = say!(
                "Too close to call: the worst is off by ",
                high,
                " in height and ",
                low,
                " across."
            );
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            says.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            says
        }
    }
}

/// How high the idler will stand once its low foot is shimmed, if that is to be done: its middle comes up by half of that.
fn left_to_lift_m(worst: &Worst) -> f64 {
    let (rise, tilt) = (worst.rise, worst.tilt);
    let shimmed = tilt.tilt == Verdict::Beyond && tilt.name == rise.name;
    rise.rise_m + if shimmed { tilt.tilt_m.abs() / 2.0 } else { 0.0 }
}

/// What to do, in order: the tilt first, as it moves the belt most.
pub(super) fn work(worst: &Worst) -> Vec<Words> {
    let (rise, tilt) = (worst.rise, worst.tilt);
    let mut work = Vec::new();
    if tilt.tilt == Verdict::Beyond {
        work.push(say!(
            format!("Idler {}: shim its ", tilt.name),
            tilt.low(),
            " foot up by ",
            length(tilt.tilt_m.abs()),
            ", unless the frame below is low there: then lift the frame."
        ));
    }
    let left_m = left_to_lift_m(worst);
    if Verdict::of(left_m, rise.rise_limit.size.si(), rise.rise_error_m) == Verdict::Beyond {
        let way = if left_m > 0.0 {
            ": take shims out under both feet, by "
        } else {
            ": shim both feet up, by "
        };
        work.push(say!(format!("Idler {}", rise.name), way, length(left_m.abs()), "."));
    }
    if !work.is_empty() {
        work.push(say!("Read that idler and its neighbours again. One that is off makes both beside it look off the other way."));
    }
    work
}

/// How far the one end or idler is to be moved that matters most.
pub(super) fn amount(worst: &Worst) -> Option<Amount> {
    let (rise, tilt) = (worst.rise, worst.tilt);
    if tilt.tilt == Verdict::Beyond {
        let at = say!(format!("idler {}, at its ", tilt.name), tilt.low(), " foot");
        return Some(Amount::length(tilt.tilt_m.abs(), tilt.tilt_error_m, at));
    }
    (rise.rise == Verdict::Beyond).then(|| {
        let way = if rise.rise_m > 0.0 { "down" } else { "up" };
        let at = say!(format!("idler {}, both feet {way}", rise.name));
        Amount::length(rise.rise_m.abs(), rise.rise_error_m, at)
    })
}

/// What it rests on and what it leaves out.
pub(super) fn notes(worst: &Worst) -> Vec<Words> {
    let mut notes = vec![say!(
        "Each idler is held against the line through the two beside it. A frame that is low all along shows nothing here."
    )];
    if worst.rise.rise == Verdict::Beyond && worst.rise.rise_m > 0.0 {
        notes.push(say!("In a bend of the frame, at a trainer or beside a pulley a set may stand high on purpose. See the drawing."));
    }
    notes.push(say!("The sheet's 2 mm for each metre of pitch is for the step from one idler to the next; it is carried over to the line."));
    notes
}

/// The idlers in order, each with its height.
pub(super) fn plot(idlers: &[Idler]) -> Plot {
    let idlers = idlers.iter().map(|it| (it.name.clone(), it.rise_m, it.rise == Verdict::Beyond));
    plots::in_order("idler, in the order given", ("height over its neighbours", Kind::Length))
        .named(idlers)
        .lines(&[("alike", plots::ZERO)])
        .plot()
}
