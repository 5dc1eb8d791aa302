//! Drills that are drawn: what is drawn is an ordinary drill, and the belt of each runs off.

use straybelt::drill::carried::{self, CARRIED, Carried};
use straybelt::drill::draw::{NotDrawn, fresh};
use straybelt::drill::kinds::KINDS;
use straybelt::drill::writer::{Origin, Sketch, SketchedCause, drill_file};
use straybelt::drill::{Belt, Drill, Grade, noise, read};
use straybelt::gauge::tension::sag_share;
use straybelt::mechanics::Fault;
use straybelt::problem::Report;
use straybelt::rulebook::load::default_book;
use straybelt::rulebook::model::{Book, Cause, Source};
use straybelt::source::Texts;
use straybelt::visit::Diagnosis;

use crate::support::files::small;

fn book() -> Book {
    default_book().unwrap_or_else(|p| panic!("{p:?}"))
}

/// The drills of a text, or what is wrong with it.
fn read_text(book: &Book, text: &str) -> Result<Vec<Drill>, Report> {
    let mut texts = Texts::default();
    let file = texts.add("drills.ron", text.to_owned());
    let mut report = Report::default();
    let drills = read::read_files(book, &texts, &[file], &mut report);
    if report.has_errors() { Err(report) } else { Ok(drills) }
}

fn sketch() -> Sketch {
    Sketch {
        id: "by-hand".to_owned(),
        title: "A \"quoted\" title \\ and more".to_owned(),
        grade: Grade::Third,
        briefing: "First line.\nSecond line, with // no comment.".to_owned(),
        conveyor: KINDS[0].data.to_owned(),
        hidden: vec![
            SketchedCause {
                cause: "crooked-splice".to_owned(),
                parts: vec!["SpliceCrooked(at: \"12 m\", toward: Left, by: \"30 mm\")".to_owned()],
                yields_to: Vec::new(),
            },
            SketchedCause {
                cause: "idler-out-of-square".to_owned(),
                parts: vec![
                    "IdlerSkewed(strand: Return, station: 4, ahead: Left, by: \"14 mm\")"
                        .to_owned(),
                    "IdlerSkewed(strand: Carry, station: 1, ahead: Right, by: \"9 mm\")".to_owned(),
                ],
                yields_to: vec!["square-idler".to_owned()],
            },
        ],
        shows: vec![("how-it-began".to_owned(), "\"at-once\"".to_owned())],
        expert: vec!["idler-leads".to_owned(), "splice-out-of-square".to_owned()],
        aims: vec!["One.".to_owned(), "Two.".to_owned()],
        talk: vec!["Why?".to_owned()],
        seed: 77,
        source: Origin::Derived("two others".to_owned()),
    }
}

/// The cause of the book that is drawn so.
fn cause_of<'b>(book: &'b Book, carried: &Carried) -> &'b Cause {
    let mut causes = book.causes.values();
    causes.find(|cause| cause.drilled_as == Some(carried.fault)).unwrap()
}

#[test]
fn every_cause_is_drawn_or_said_not_to_be_and_every_fault_is_one() {
    let book = book();
    for cause in book.causes.values() {
        let drawn = cause.drilled_as.is_some_and(|fault| carried::of(fault).is_some());
        assert_ne!(drawn, !cause.not_drilled.is_empty(), "{}", cause.id);
    }
    for carried in CARRIED {
        let causes = book.causes.values().filter(|cause| cause.drilled_as == Some(carried.fault));
        assert_eq!(causes.count(), 1, "{:?}", carried.fault);
    }
}

/// What a table says in the words of a file is read as any drill is: on each conveyor, at each end of its sizes.
#[test]
fn every_part_that_may_be_drawn_can_be_read() {
    let book = book();
    let mut rng = noise::rng(5, "parts");
    let mut read = 0;
    for kind in KINDS {
        let bare = Sketch {
            conveyor: kind.data.to_owned(),
            hidden: Vec::new(),
            shows: Vec::new(),
            ..sketch()
        };
        let line = read_text(&book, &drill_file(&[], &bare)).unwrap().remove(0).line;
        for carried in CARRIED.iter().filter(|carried| (carried.shows_on)(&line)) {
            for at in [0.0, 0.5, 1.0] {
                let drawn = carried.draw(&line, &mut rng);
                let parts: Vec<String> = drawn.parts.iter().map(|part| part.text(at)).collect();
                let hidden = SketchedCause {
                    cause: cause_of(&book, carried).id.clone(),
                    parts: parts.clone(),
                    yields_to: Vec::new(),
                };
                let with = Sketch { hidden: vec![hidden], ..bare.clone() };
                match read_text(&book, &drill_file(&[], &with)) {
                    Ok(drills) => {
                        assert_eq!(drills[0].hidden[0].things.len(), parts.len());
                        read += 1;
                    }
                    // A cause that its own conditions keep off this conveyor, or that nothing may be done about on it.
                    Err(report) => {
                        let said: Vec<String> =
                            report.sorted().into_iter().map(|p| p.message).collect();
                        let off = |said: &String| {
                            said.contains("cannot be present")
                                || said.contains("nothing that may be done")
                        };
                        assert!(said.iter().all(off), "{:?}: {parts:?} {said:?}", carried.fault);
                    }
                }
            }
        }
    }
    assert!(read > 300, "{read}");
}

/// Else every drill on it would look like a belt that is too tight, or too slack.
#[test]
fn the_return_strand_of_each_conveyor_dips_as_usual_when_all_is_in_order() {
    let book = book();
    for kind in KINDS {
        let bare = Sketch {
            conveyor: kind.data.to_owned(),
            hidden: Vec::new(),
            shows: Vec::new(),
            ..sketch()
        };
        let line = read_text(&book, &drill_file(&[], &bare)).unwrap().remove(0).line;
        let pitch_m = line.ret.stations_m[1] - line.ret.stations_m[0];
        let share = sag_share(line.belt.mass_kg_per_m, pitch_m, line.ret.tension_n);
        assert!((0.0081..0.024).contains(&share), "{}: {share}", kind.name);
    }
}

#[test]
fn what_the_pen_writes_reads_back_the_same() {
    let book = book();
    let sketch = sketch();
    let drill = read_text(&book, &drill_file(&["Head.".to_owned()], &sketch)).unwrap().remove(0);
    assert_eq!((drill.id, drill.title), (sketch.id, sketch.title));
    assert_eq!((drill.briefing, drill.grade), (sketch.briefing, sketch.grade));
    assert_eq!((drill.aims, drill.talk), (sketch.aims, sketch.talk));
    assert_eq!(drill.seed, 77);
    assert!(matches!(drill.source, Source::Derived(from) if from == "two others"));
    let expert: Vec<&str> = drill.expert.iter().map(|at| book.symptoms[*at].id.as_str()).collect();
    assert_eq!(expert, ["idler-leads", "splice-out-of-square"]);
    let (symptom, answer) = drill.shows[0];
    assert_eq!(book.symptoms[symptom].id, "how-it-began");
    assert_eq!(book.symptoms[symptom].answers[answer].id, "at-once");
    let fixes: Vec<&str> =
        drill.hidden[1].yields_to.iter().map(|at| book.fixes[*at].id.as_str()).collect();
    assert_eq!(fixes, ["square-idler"]);
    let faults: Vec<Fault> =
        drill.hidden.iter().flat_map(|h| &h.things).map(|t| t.fault(&drill.line)).collect();
    assert_eq!(faults[0], Fault::CrookedSplice { at_m: 12.0, kink_rad: 0.030 / 0.8 });
    assert!(
        matches!(faults[1], Fault::Skewed { station: 3, skew_rad, .. } if (skew_rad - 0.014).abs() < 1e-12)
    );
    assert!(
        matches!(faults[2], Fault::Skewed { station: 0, skew_rad, .. } if (skew_rad + 0.009).abs() < 1e-12)
    );
}

#[test]
fn a_drawn_drill_is_an_ordinary_one_and_its_belt_runs_off() {
    let book = book();
    let diagnosis = Diagnosis::new(&book);
    for seed in 0..5 {
        let drill = fresh(&diagnosis, seed).unwrap();
        assert_eq!(drill.id, format!("drawn-{seed}"));
        assert!((1..=3).contains(&drill.hidden.len()));
        assert!(!drill.expert.is_empty());
        let again = read_text(&book, &format!("[{}]", drill.text)).unwrap().remove(0);
        assert_eq!(again.briefing, drill.briefing);
        for (one, other) in drill.hidden.iter().zip(&again.hidden) {
            assert_eq!((one.cause, &one.things), (other.cause, &other.things));
            let id = &book.causes[one.cause].id;
            let names = [&drill.title, &drill.briefing];
            assert!(
                names.iter().all(|text| !text.contains(&book.causes[one.cause].name)),
                "{id} is given away"
            );
        }
        let things = drill.hidden.iter().flat_map(|hidden| &hidden.things);
        let faults: Vec<Fault> = things.map(|thing| thing.fault(&drill.line)).collect();
        let belt = Belt::begin(&drill.line, &faults).unwrap();
        assert!(!belt.runs_true(&drill.line) && belt.worst_share(&drill.line) < 2.6, "{seed}");
        assert_eq!(fresh(&diagnosis, seed).unwrap().text, drill.text, "the same seed");
    }
    assert_ne!(fresh(&diagnosis, 0).unwrap().text, fresh(&diagnosis, 1).unwrap().text);
}

#[test]
fn a_book_with_none_of_the_causes_has_nothing_to_draw() {
    let mut book = small();
    for cause in book.causes.places() {
        book.causes[cause].drilled_as = None;
    }
    let drawn = fresh(&Diagnosis::new(&book), 1);
    assert_eq!(drawn.map(|drill| drill.id), Err(NotDrawn::NothingCarried));
}
