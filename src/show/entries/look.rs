//! A look as it is read: where to stand, for how long, and what is to be seen there.

use super::sheet::{ListMark, RichText, Sheet};
use super::{BookSheets, entry};
use crate::rulebook::index::LookAt;
use crate::rulebook::model::{Look, ToldBy};
use crate::show::chance::minutes;
use crate::trade::LookPlace;

pub(super) fn sheet(sheets: &BookSheets, sheet: &mut Sheet, at: LookAt) {
    let look = &sheets.book.looks[at];
    sheet.title(&super::anchor("look", &look.id), &sheets.fill(&look.title), &look.id);
    sheet.pairs(vec![
        ("Where", look.place.map_or("", place).into()),
        ("How to stand", sheets.fill(&look.stand).into()),
        ("Machine", super::state(look.state).into()),
        ("Takes", takes(look).into()),
        ("Tools", look.tools.join(", ").into()),
        ("Comes forward if", sheets.conditions(&look.early_if)),
        ("Source", sheets.mark(&look.source)),
    ]);
    let seen = look.symptoms.iter().map(|at| RichText::default().entry(sheets.symptom(*at)));
    sheet.list("What is looked at there", ListMark::Dot, seen.collect());
    for caution in &look.cautions {
        let caution = &sheets.book.cautions[*caution];
        sheet.warn(format!("{} ({})", sheets.fill(&caution.text), caution.rule));
    }
}

/// The look that shows a symptom; nothing if it has one of its own.
pub(super) fn that_shows(sheets: &BookSheets, at: LookAt) -> RichText {
    let look = &sheets.book.looks[at];
    if look.place.is_none() {
        return RichText::default();
    }
    RichText::default().entry(entry("look", &look.id, &sheets.fill(&look.title)))
}

/// How somebody comes to know a symptom, in words.
pub(super) fn told_by(by: ToldBy) -> &'static str {
    match by {
        ToldBy::History => "from memory or papers",
        ToldBy::Seen => "by eye or ear",
        ToldBy::Felt => "by hand, locked out",
        ToldBy::Measured => "with an instrument or tape",
    }
}

/// What standing there takes, in words.
fn takes(look: &Look) -> String {
    let mut takes = vec![minutes(look.minutes)];
    if look.turns > 0.0 {
        let turns = if look.turns == 1.0 { "turn" } else { "turns" };
        takes.push(format!("{} {turns} of the belt", look.turns));
    }
    if look.per_50_m_minutes > 0.0 {
        takes.push(format!("{} for every 50 m", minutes(look.per_50_m_minutes)));
    }
    format!("{}; what is looked at comes on top, and the way there", takes.join(", and "))
}

/// Where somebody stands, in words.
fn place(place: LookPlace) -> &'static str {
    match place {
        LookPlace::Papers => "at the desk, or by radio",
        LookPlace::WholeLine => "all along the line and back",
        LookPlace::Tail => "at the tail",
        LookPlace::LoadZone => "just past the load zone",
        LookPlace::CarryRun => "beside the carry strand",
        LookPlace::Head => "at the head",
        LookPlace::Drive => "at the drive",
        LookPlace::ReturnRun => "beside the return strand",
        LookPlace::TakeUp => "at the take-up",
        LookPlace::TroubleSpot => "where the belt is worst",
        LookPlace::BeltPart => "at the part of the belt that runs off",
    }
}
