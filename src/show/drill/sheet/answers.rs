//! What the trainer keeps: what is hidden, what is seen where, and an expert's way.

use std::collections::HashSet;

use super::Piece;
use crate::drill::World;
use crate::drill::moves::Move;
use crate::drill::score::score;
use crate::rulebook::index::SymptomAt;
use crate::show::chance::minutes;
use crate::show::drill::list;
use crate::show::drill::words::DrillNames;
use crate::show::entries::sheet::{ListMark, RichText, Sheet};
use crate::show::letters::capital;
use crate::trade::MachineState;

/// The sheet of a drill whose run has just begun.
pub fn sheet(world: &World<'_>) -> Vec<Piece> {
    vec![Piece::Words(answers(world)), Piece::NewPage, Piece::Words(seen(world))]
}

fn answers(world: &World<'_>) -> Sheet {
    let (book, drill) = (world.book(), world.drill());
    let names = DrillNames::new(drill);
    let mut sheet = Sheet::default();
    sheet.title("answers", &drill.title, "for the trainer");
    sheet.warn("With the answers: keep this sheet from the class.");
    let named = drill.conveyor.name().map_or(String::new(), |name| format!("{name}. "));
    sheet.para(format!("{named}{}. {}", capital(list::grade(drill.grade)), drill.briefing));
    sheet.section("What is hidden");
    if drill.hidden.is_empty() {
        sheet.para("Nothing: the conveyor is in order.");
    }
    for hidden in &drill.hidden {
        let things: Vec<String> = hidden.things.iter().map(|thing| names.thing(*thing)).collect();
        let fixes: Vec<&str> =
            hidden.yields_to.iter().map(|fix| book.fixes[*fix].title.as_str()).collect();
        sheet.para(
            RichText::default().strong(book.causes[hidden.cause].name.clone()).and(format!(
                ": {}. Put right by: {}.",
                things.join("; "),
                fixes.join("; or ")
            )),
        );
    }
    let score = score(world);
    sheet.section("An expert's way").para(format!(
        "About {} in all; {} for somebody who knows from the start what is wrong.",
        minutes(score.expert.minutes),
        minutes(score.best_minutes)
    ));
    let looks = score.expert.looks.iter().map(|look| names.did(book, &Move::Look(*look)));
    let works = score.expert.fixes.iter().map(|fix| {
        format!("{} ({})", names.did(book, &Move::Work(*fix)), minutes(book.fixes[*fix].minutes))
    });
    sheet.list("", ListMark::Number, looks.chain(works).map(RichText::from).collect());
    let words = |lines: &[String]| lines.iter().cloned().map(RichText::from).collect();
    sheet.list("To take home", ListMark::Dot, words(&drill.aims));
    sheet.list("To talk about", ListMark::Dot, words(&drill.talk));
    sheet
}

/// What is seen at each look before any work: the opening ones and the expert's first.
fn seen(world: &World<'_>) -> Sheet {
    let book = world.book();
    let mut sheet = Sheet::default();
    sheet.section("What is seen, before any work");
    sheet.para("Tell it only to whoever asks for it, in these words. After work that cured something the belt shows another picture: then say how it runs now.");
    let first: Vec<SymptomAt> = score(world).expert.looks;
    let known: HashSet<SymptomAt> = first.iter().copied().collect();
    let rest = |state: MachineState| {
        let of_state = book.symptoms.iter().filter(move |(_, symptom)| symptom.state == state);
        of_state.map(|(at, _)| at).filter(|at| !known.contains(at)).collect::<Vec<_>>()
    };
    let groups = [
        ("What an expert looks at", first),
        ("Anywhere: people, papers", rest(MachineState::Anywhere)),
        ("While it runs", rest(MachineState::Running)),
        (
            "Locked out only: while it runs that is a hand at a moving belt",
            rest(MachineState::LockedOut),
        ),
    ];
    let names = DrillNames::new(world.drill());
    for (head, looks) in groups {
        let lines = looks.into_iter().filter_map(|look| {
            let symptom = &book.symptoms[look];
            let answer = world.answers_at_start()[look]?;
            let says = names.sides().fill(&symptom.answers[answer].says);
            let ask = names.sides().fill(&symptom.ask);
            Some(
                RichText::plain(format!("{ask} "))
                    .strong(says)
                    .faint(format!(" ({})", minutes(symptom.minutes))),
            )
        });
        sheet.list(head, ListMark::Dot, lines.collect());
    }
    sheet
}
