//! What a drill's author sees before anybody runs it: how the belt runs, and what the first looks show.

use super::pages;
use super::words::DrillNames;
use crate::drill::World;
use crate::drill::score::score;
use crate::show::chance::minutes;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// Of a drill whose run has just begun.
pub fn page(screen: Screen, world: &World<'_>) -> String {
    let names = DrillNames::new(world.drill());
    let book = world.book();
    let mut page = Page::new(screen);
    page.text(&pages::seen(screen, world, names.sides()));
    page.blank().head("What the first looks show");
    for look in &book.opening {
        let Some(answer) = world.answers_at_start()[*look] else {
            continue;
        };
        let symptom = &book.symptoms[*look];
        let says = names.sides().fill(&symptom.answers[answer].says);
        page.item(" - ", &format!("{} {says}", names.sides().fill(&symptom.ask)));
    }
    let score = score(world);
    page.para_in(
        Ink::Faint,
        &format!(
            "An expert takes about {}; the quickest repair, all known, {}.",
            minutes(score.expert.minutes),
            minutes(score.best_minutes)
        ),
    );
    page.finish()
}
