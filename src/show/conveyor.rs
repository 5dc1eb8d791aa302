//! A conveyor's data as a page with a drawing to scale, and as JSON.

use serde_json::{Map, Value, json};
use unicode_width::UnicodeWidthStr;

use super::page::{Page, Screen};
use crate::conveyor::Conveyor;
use crate::conveyor::quantity::{Kind, Quantity, Units};
use crate::gauge;
use crate::stream::paint::Ink;

/// The drawing is no wider: longer lines tire the eye.
const WIDE: usize = 100;

/// All that is known, with a drawing.
pub fn page(screen: Screen, conveyor: &Conveyor, units: Units) -> String {
    let mut page = Page::new(screen);
    page.title(conveyor.name().unwrap_or("A conveyor without a name"));
    for (key, value) in conveyor.known() {
        page.item(&format!("{key}: "), value);
    }
    for (key, value) in conveyor.known_for_gauges() {
        page.item(&format!("{key}: "), value);
    }
    let sides = conveyor.sides();
    if let (Some(left), Some(right)) = (&sides.left, &sides.right) {
        page.item("sides: ", &format!("{left} left, {right} right, looking from tail to head"));
    }
    along(&mut page, conveyor, units);
    across(&mut page, conveyor, units);
    let known: Vec<_> = conveyor.dimensions().known().collect();
    if !known.is_empty() {
        page.blank().head("Dimensions");
        for (dimension, size) in known {
            page.item(" - ", &format!("{}: {}", dimension.ask, size.words(units)));
        }
    }
    if !conveyor.limits().is_empty() {
        page.blank().head("Limits of this site's own");
        for limit in conveyor.limits() {
            page.item(" - ", &format!("{}: {}", limit.id, limit.size));
        }
    }
    page.finish()
}

/// That a file is in order, and which gauges would still ask.
pub fn checked(screen: Screen, name: &str, conveyor: &Conveyor) -> String {
    let mut page = Page::new(screen);
    page.para_in(Ink::Good, &format!("{name}: in order"));
    for gauge in gauge::ALL {
        let mut missing: Vec<&str> = gauge
            .ways
            .iter()
            .flat_map(|way| way.wanted)
            .filter_map(|wanted| wanted.from)
            .filter(|path| conveyor.dimensions().get(path).is_none())
            .collect();
        missing.sort_unstable();
        missing.dedup();
        if !missing.is_empty() {
            page.item(
                "  ",
                &format!("the gauge {} would still ask for: {}", gauge.id, missing.join(", ")),
            );
        }
    }
    page.finish()
}

/// The conveyor as one JSON document; sizes are SI beside their units.
pub fn document(conveyor: &Conveyor) -> Value {
    let sizes: Map<String, Value> = conveyor
        .dimensions()
        .known()
        .map(|(dimension, size)| {
            (dimension.path.to_owned(), json!({ "size": size.si(), "unit": size.si_unit() }))
        })
        .collect();
    let facts: Map<String, Value> =
        conveyor.known().map(|(key, value)| (key.to_owned(), json!(value))).collect();
    let limits: Map<String, Value> =
        conveyor.limits().iter().map(|limit| (limit.id.clone(), json!(limit.size))).collect();
    json!({
        "format": 1,
        "name": conveyor.name(),
        "facts": facts,
        "bearings": conveyor.bearings(),
        "lagging": conveyor.lagging(),
        "dust_burns": conveyor.dust_burns(),
        "sides": { "left": conveyor.sides().left, "right": conveyor.sides().right },
        "units": conveyor.units().map(Units::name),
        "dimensions": sizes,
        "limits": limits,
    })
}

/// From the side, tail to head, to scale along.
fn along(page: &mut Page, conveyor: &Conveyor, units: Units) {
    let size = |path: &str| conveyor.dimensions().get(path);
    let Some(centres) = size("centres") else {
        return;
    };
    let wide = page.width().min(WIDE).saturating_sub(2);
    let column = centres.si() / (wide.saturating_sub(1).max(1)) as f64;
    let strand = |pitch: Option<Quantity>, mark: char| {
        let mut line: Vec<char> = vec!['='; wide];
        if let Some(pitch) = pitch.map(Quantity::si).filter(|pitch| *pitch >= 2.0 * column) {
            let count = (centres.si() / pitch).floor() as usize;
            for number in 1..=count.min(wide) {
                let at = (number as f64 * pitch / column).round() as usize;
                if let Some(cell) = line.get_mut(at) {
                    *cell = mark;
                }
            }
        }
        for end in [0, wide.saturating_sub(1)] {
            if let Some(cell) = line.get_mut(end) {
                *cell = 'O';
            }
        }
        line.into_iter().collect::<String>()
    };
    let (carry, back) = (size("idlers.carry_pitch"), size("idlers.return_pitch"));
    page.blank().head("From the side, to scale along");
    let ends = "tail".width() + "head".width();
    page.line(Ink::Plain, &format!(" tail{}head", " ".repeat(wide.saturating_sub(ends))));
    page.line(Ink::Plain, &format!(" {}", strand(carry, 'v')));
    page.line(Ink::Plain, &format!(" {}", strand(back, '^')));
    let mut says = vec![
        format!("{} between the end pulleys", centres.words(units)),
        format!("one letter is {}", Quantity::of(Kind::Length, column).words(units)),
    ];
    let mut pitch = |pitch: Option<Quantity>, what: &str, mark: char| {
        if let Some(pitch) = pitch {
            let count = (centres.si() / pitch.si()).floor();
            let marks = if pitch.si() >= 2.0 * column {
                format!("{mark}: ")
            } else {
                "too close to draw: ".to_owned()
            };
            says.push(format!("{marks}{what} every {}, about {count}", pitch.words(units)));
        }
    };
    pitch(carry, "carry idlers", 'v');
    pitch(back, "return rolls", '^');
    for line in says {
        page.item_in(Ink::Faint, " ", &line);
    }
}

/// From the tail, belt, pulley face and bearings to scale across.
fn across(page: &mut Page, conveyor: &Conveyor, units: Units) {
    let size = |path: &str| conveyor.dimensions().get(path);
    let parts = [
        ("belt", size("belt.width"), '='),
        ("face of the tail pulley", size("tail.face"), '#'),
        ("face of the head pulley", size("head.face"), '#'),
        ("tail bearings apart", size("tail.bearing_centres"), '-'),
        ("head bearings apart", size("head.bearing_centres"), '-'),
    ];
    let known: Vec<_> =
        parts.iter().filter_map(|(what, size, mark)| Some((*what, (*size)?, *mark))).collect();
    let most = known.iter().map(|(_, size, _)| size.si()).fold(0.0, f64::max);
    if known.len() < 2 || most <= 0.0 {
        return;
    }
    let wide = page.width().min(60).saturating_sub(2);
    page.blank().head("Across, to scale");
    for (what, size, mark) in known {
        let cells = ((size.si() / most * wide as f64).round() as usize).clamp(1, wide);
        let indent = " ".repeat((wide - cells) / 2 + 1);
        page.line(Ink::Plain, &format!("{indent}{}", mark.to_string().repeat(cells)));
        page.item_in(Ink::Faint, " ", &format!("{what}: {}", size.words(units)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conveyor::dimensions;

    #[test]
    fn every_path_that_is_drawn_is_a_dimension() {
        for path in
            ["centres", "idlers.carry_pitch", "belt.width", "tail.face", "head.bearing_centres"]
        {
            assert!(dimensions::named(path).is_some(), "{path}");
        }
        for gauge in gauge::ALL {
            for wanted in gauge.ways.iter().flat_map(|way| way.wanted) {
                if let Some(path) = wanted.from {
                    assert!(dimensions::named(path).is_some(), "{} {path}", gauge.id);
                }
            }
        }
    }
}
