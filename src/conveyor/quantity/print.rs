//! What is printed on a belt, as its rated tension.

use super::{Kind, Quantity};

/// Working tension of a fabric belt: a tenth of the breaking strength that its print names. Published by a belt seller as
/// the load at which stretch is given, and the usual safety of fabric belts.
const FABRIC: f64 = 10.0;
/// Working tension of a steel-cord belt: its breaking strength over this. From memory: the usual safety of steel cord.
const STEEL_CORD: f64 = 6.67;
/// No belt has a strength beyond these, N/mm.
const STRENGTHS: std::ops::RangeInclusive<f64> = 50.0..=10_000.0;

/// The rated working tension that a print such as `ep 400/3`, `nn 250/2` or `st 1000` names: the strength of the whole
/// carcass in N/mm, then the plies. Nothing if it is no such print. In small letters.
pub(super) fn rated(print: &str) -> Option<Quantity> {
    let letters = print.find(|c: char| !c.is_ascii_alphabetic())?;
    let (carcass, rest) = print.split_at_checked(letters)?;
    let safety = match carcass {
        "ep" | "pn" | "nn" | "ee" | "nf" | "pp" => FABRIC,
        "st" => STEEL_CORD,
        _ => return None,
    };
    let rest = rest.trim_start_matches([' ', '-']);
    let (strength, plies) = match rest.split_once('/') {
        Some((strength, plies)) => (strength, plies.trim()),
        None => (rest, "1"),
    };
    let strength: f64 = strength.trim().parse().ok().filter(|it| STRENGTHS.contains(it))?;
    let plies: u8 = plies.parse().ok()?;
    let counted = (1..=12).contains(&plies);
    counted.then(|| Quantity::of(Kind::Rated, strength * 1000.0 / safety))
}
