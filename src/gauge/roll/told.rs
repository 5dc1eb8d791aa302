//! What is said and drawn of rolls.

use super::super::asked::length;
use super::super::limits::shipped;
use super::super::{Figure, Kind, Plot, Setting, Verdict, Words, closer, plots};
use super::{Found, Roll};
use crate::say;

/// The sentence that says it all.
pub(super) fn says(found: &Found, figures: &[Figure]) -> Words {
    let (caked, cone) = (found.most(Roll::most_m), found.most(|roll| roll.cone_m().abs()));
    let size = |roll: Option<&Roll>, of: &dyn Fn(&Roll) -> f64| length(roll.map_or(0.0, of));
    let name = |roll: Option<&Roll>| roll.map_or_else(String::new, |roll| roll.name.clone());
    let cake = size(caked, &|roll| found.cake_m(roll).unwrap_or(0.0).max(0.0));
    let apart = size(cone, &|roll| roll.cone_m().abs());
    match (found.cake, found.cone) {
        (Verdict::Beyond, _) => {
            say!(format!("Roll {} is caked: ", name(caked)), cake, " thick at the thickest place.")
        }
        (_, Verdict::Beyond) => say!(
            format!("Roll {} is a cone: its ", name(cone)),
            cone.map_or(crate::trade::Side::Left, Roll::larger),
            " end is larger by ",
            apart,
            " in diameter."
        ),
        (Verdict::TooClose, _) | (_, Verdict::TooClose) => {
            let mut says = say!(
                "Too close to call: the thickest cake is ",
                cake,
                ", both ends differ by ",
                apart,
                " in diameter."
            );
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            says.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            says
        }
        (Verdict::NoLimit, _) => say!(
            "Both ends of each roll are alike, within ",
            apart,
            ". Cake is not judged without the diameter of a clean roll."
        ),
        (Verdict::Within, _) => {
            say!("The rolls are bare: the thickest cake is ", cake, ", both ends are alike.")
        }
    }
}

/// What to do, in order.
pub(super) fn work(found: &Found, setting: &Setting) -> Vec<Words> {
    let (cake_m, ends_m) = (
        setting.limit(&shipped::ROLL_CAKE).size.si(),
        setting.limit(&shipped::ROLL_ENDS).size.si(),
    );
    let beyond = |size_m: f64, limit_m: f64, error_m: f64| {
        Verdict::of(size_m, limit_m, error_m) == Verdict::Beyond
    };
    let mut work = Vec::new();
    for roll in &found.rolls {
        let thick_m = found.cake_m(roll).filter(|it| *it > 0.0);
        let caked = thick_m.filter(|it| beyond(*it, cake_m, found.error_m / 2.0));
        if let Some(thick_m) = caked {
            work.push(say!(
                format!("Scrape roll {} bare to the shell: cake up to ", roll.name),
                length(thick_m),
                " thick. Then measure it again."
            ));
        } else if beyond(roll.cone_m(), ends_m, 2.0_f64.sqrt() * found.error_m) {
            work.push(say!(
                format!("Roll {}: its ", roll.name),
                roll.larger(),
                " end is larger by ",
                length(roll.cone_m().abs()),
                " in diameter. Clean it; if it stays so, the shell is worn: renew the roll."
            ));
        }
    }
    if !work.is_empty() {
        work.push(say!(
            "Find where the dirt comes from, or it is back soon: belt cleaner, plough, spillage."
        ));
    }
    work
}

/// What it rests on and what it leaves out.
pub(super) fn notes(found: &Found) -> Vec<Words> {
    let mut notes = Vec::new();
    let worn = found
        .rolls
        .iter()
        .filter(|roll| found.worn_m(roll).is_some_and(|worn_m| worn_m > found.error_m / 2.0));
    for roll in worn {
        notes.push(say!(
            format!("Roll {} is thinner than a clean one by ", roll.name),
            length(2.0 * found.worn_m(roll).unwrap_or(0.0)),
            " in diameter: worn, or another kind of roll."
        ));
    }
    notes.push(say!("No figure is published: 1 mm of cake counts, and as much at one end only (common practice)."));
    notes.push(say!("To which side cake on one end sends the belt is published nowhere: watch which way it goes."));
    notes
}

/// The rolls in order, each with what its ends differ by.
pub(super) fn plot(found: &Found, setting: &Setting) -> Plot {
    let limit_m = setting.limit(&shipped::ROLL_ENDS).size.si();
    let error_m = 2.0_f64.sqrt() * found.error_m;
    let rolls = found.rolls.iter().map(|roll| {
        let beyond = Verdict::of(roll.cone_m(), limit_m, error_m) == Verdict::Beyond;
        (roll.name.clone(), roll.cone_m(), beyond)
    });
    plots::in_order("roll, in the order given", ("left end larger", Kind::Length))
        .named(rolls)
        .lines(&[("alike", plots::ZERO)])
        .plot()
}
