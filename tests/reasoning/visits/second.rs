//! Second looks of the shipped book: what an answers file may say of them, what they change, how they are told.

use std::path::Path;
use std::sync::LazyLock;

use straybelt::conveyor::{self, facts::Facts};
use straybelt::reason::Outcome;
use straybelt::rulebook::index::{AnswerAt, FixAt, Place, SymptomAt};
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, MachineState};
use straybelt::visit::{
    Depth, Diagnosis, Machine, Observations, Reply, SecondReplies, answers, askable,
};

static BOOK: LazyLock<Book> = LazyLock::new(|| load::default_book().unwrap());

fn symptom(id: &str) -> SymptomAt {
    BOOK.symptoms.iter().find(|(_, s)| s.id == id).unwrap().0
}

fn reply(id: &str, answer: &str) -> (SymptomAt, Reply) {
    let at = symptom(id);
    let answer = BOOK.symptoms[at].answers.iter().find(|(_, a)| a.id == answer).unwrap().0;
    (at, Reply::Answer(answer))
}

fn fix(id: &str) -> FixAt {
    BOOK.fixes.iter().find(|(_, f)| f.id == id).unwrap().0
}

fn read(text: &str) -> Result<Observations, Vec<String>> {
    let read = answers::parse(&BOOK, "told.ron", text.to_owned());
    read.map(|answers| answers.observed).map_err(|problems| {
        let line = |problem: &straybelt::problem::Problem| {
            let place = &problem.labels.first().unwrap().place;
            format!(
                "{place}: {}: {}; {}",
                problem.code.word(),
                problem.message,
                problem.help.join("; ")
            )
        };
        problems.0.iter().map(line).collect()
    })
}

#[test]
fn a_second_look_is_read() {
    let told = read(
        r#"(
        answers: {"first-split": "one-place"},
        second: [
            (after_batch: 2, answers: {"strand": "unknown"}),
            (answers: {"strand": "carry", "idler-leads": "left"}, after_batch: 1),
        ],
        done: [["swap-roll"], ["square-idler"]],
        outcomes: ["other-side", "elsewhere"],
    )"#,
    )
    .unwrap();
    assert_eq!(told.outcomes, [Outcome::OtherSide, Outcome::Elsewhere]);
    let first = SecondReplies {
        after_batch: 1,
        replies: vec![reply("strand", "carry"), reply("idler-leads", "left")],
    };
    let then =
        SecondReplies { after_batch: 2, replies: vec![(symptom("strand"), Reply::CantTell)] };
    assert_eq!(told.second, [first, then]);
    assert_eq!(told.latest(symptom("strand")), reply("strand", "carry").1);
    let json = read(
        r#"{"done": [["swap-roll"]], "outcomes": ["different"],
            "second": [{"after_batch": 1, "answers": {"first-split": "one-part"}}]}"#,
    );
    assert_eq!(json.unwrap().second[0].replies, [reply("first-split", "one-part")]);
}

#[test]
fn a_second_look_that_is_wrong_is_told_with_its_place() {
    let wrong = read(
        r#"(
    answers: {"strand": "carry"},
    done: [["swap-roll"]],
    second: [
        (after_batch: 0, answers: {}),
        (after_batch: 2, answers: {}),
        (after_batch: 1.5),
        (after_batch: "1"),
        (answers: {"strand": "carry"}),
        (after_batch: 1, answers: {"strnd": "carry", "strand": "cary", "last-work": "nothing"}),
        (after_batch: 1, answer: {}),
        (after_batch: 1, answers: {"smoke-or-smell": "no", "strand": "carry", "strand": "both"}),
        1,
    ],
)"#,
    );
    let stop = BOOK.stop_now.first().unwrap().id.as_str();
    let early = read(&format!(
        r#"(second: [(after_batch: 1, answers: {{"{stop}": "no", "{}": "unknown"}})])"#,
        BOOK.edge_room.id
    ));
    let mut told = wrong.unwrap_err();
    told.extend(early.unwrap_err());
    insta::assert_snapshot!(told.join("\n"));
}

fn demo(conveyor: &str, file: &str) -> (Facts, Observations) {
    let site = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ostrel-quay");
    let (conveyor, _) = conveyor::read(&site.join(format!("conveyors/{conveyor}.ron"))).unwrap();
    let told = answers::read(&BOOK, &site.join(format!("answers/{file}"))).unwrap();
    (*conveyor.facts(), told.observed)
}

/// After work that had nothing to do with it and changed nothing, the same picture seen again moves no chance by
/// more than two points.
#[test]
fn the_same_picture_again_is_no_news() {
    let diagnosis = Diagnosis::new(&BOOK);
    for (conveyor, file) in [
        ("OQ-04", "01-caked-return-rolls.ron"),
        ("OQ-01", "02-jumps-at-the-splice.ron"),
        ("OQ-04", "03-two-causes.ron"),
        ("OQ-15", "04-gate-screws.ron"),
        ("OQ-18", "05-gate-heavy-side.ron"),
        ("OQ-01", "07-does-not-fit.ron"),
        ("OQ-07", "10-windy-trestles.ron"),
    ] {
        let (facts, mut told) = demo(conveyor, file);
        let start = diagnosis.finding_to(&facts, &told, Depth::Ranking);
        let there = |fix: FixAt| -> f64 {
            let cures = BOOK.fixes[fix].cures.iter();
            let of = |cause| start.ranked.iter().find(|r| r.cause == cause);
            cures.filter_map(|(cause, p)| Some(p * of(*cause)?.was_present)).sum()
        };
        let fixes = BOOK.fixes.places().filter(|f| start.fixes_apply[*f]);
        let idle = fixes.min_by(|a, b| there(*a).total_cmp(&there(*b))).unwrap();
        assert!(there(idle) < 1e-4, "{file}");
        told.done = vec![vec![idle]];
        told.outcomes = vec![Outcome::NoChange];
        let once = diagnosis.finding_to(&facts, &told, Depth::Ranking);
        for (symptom, answer) in start.answers.iter() {
            let Some(answer) = answer else { continue };
            if BOOK.symptoms[symptom].state != MachineState::Anywhere {
                told.reply_now(&BOOK, symptom, Reply::Answer(*answer));
            }
        }
        assert!(told.second[0].replies.len() > 4, "{file}");
        let twice = diagnosis.finding_to(&facts, &told, Depth::Ranking);
        for ranked in &twice.ranked {
            let before = once.ranked.iter().find(|r| r.cause == ranked.cause).unwrap();
            let id = &BOOK.causes[ranked.cause].id;
            let moved = (ranked.probability - before.probability).abs();
            assert!(moved <= 0.02, "{file}: {id} by {moved}");
            let moved = (ranked.was_present - before.was_present).abs();
            assert!(moved <= 0.02, "{file}: {id} was there, by {moved}");
        }
        // Taken as news it would be less likely by far.
        let mut book = BOOK.clone();
        book.reports.same_again = 0.0;
        let news = Diagnosis::new(&book).finding_to(&facts, &told, Depth::Ranking);
        let evidence = |finding: &straybelt::visit::Finding| finding.log_evidence.unwrap();
        assert!(evidence(&twice) > evidence(&once) - 1.0, "{file}");
        assert!(evidence(&news) < evidence(&once) - 2.0, "{file}");
    }
}

/// From the first batch on a reply is of its time; what belongs to the past stays with the start.
#[test]
fn a_reply_is_of_its_time() {
    let mut told = Observations::none(&BOOK);
    let put = |told: &mut Observations, id: &str, answer: &str| {
        let (symptom, reply) = reply(id, answer);
        told.reply_now(&BOOK, symptom, reply);
    };
    let cant_tell = |told: &mut Observations, id: &str| {
        told.reply_now(&BOOK, symptom(id), Reply::CantTell);
    };
    put(&mut told, "first-split", "one-part");
    cant_tell(&mut told, "strand");
    cant_tell(&mut told, "last-work");
    assert_eq!((told.now(), told.second.len()), (0, 0));
    told.done.push(vec![fix("swap-roll")]);
    told.machine = Machine::LockedOut;
    assert_eq!(told.now(), 0, "the batch is in hand");
    put(&mut told, "roll-spin", "no");
    assert_eq!(told.replies[symptom("roll-spin")], reply("roll-spin", "no").1);
    told.machine = Machine::Running;
    told.outcomes.push(Outcome::Different);
    assert_eq!(told.now(), 1);
    put(&mut told, "first-split", "one-place");
    put(&mut told, "how-it-began", "over-days");
    assert_eq!(told.second.len(), 1);
    assert_eq!(told.second[0].replies, [reply("first-split", "one-place")]);
    assert_eq!(told.replies[symptom("first-split")], reply("first-split", "one-part").1);
    assert_eq!(told.latest(symptom("first-split")), reply("first-split", "one-place").1);
    assert_eq!(told.answered_after(symptom("first-split")), 1);
    assert_eq!(told.latest(symptom("how-it-began")), reply("how-it-began", "over-days").1);
    assert_eq!(told.answered_after(symptom("how-it-began")), 0);
    // What could not be told before may be told now, but for the past.
    let diagnosis = Diagnosis::new(&BOOK);
    let open = |told: &Observations, id: &str| {
        let finding = diagnosis.applicability(&Facts::default(), told);
        askable(&BOOK, &finding).any(|s| s == symptom(id))
    };
    assert!(open(&told, "strand") && !open(&told, "last-work") && !open(&told, "first-split"));
    cant_tell(&mut told, "strand");
    assert!(!open(&told, "strand"));
    // In one look the later reply stands; no answer of another is taken back.
    cant_tell(&mut told, "first-split");
    assert_eq!(told.latest(symptom("first-split")), reply("first-split", "one-part").1);
}

/// Conditions are judged by the latest answers of their time: the first look is as it was, and what it told counts.
#[test]
fn what_applies_is_a_matter_of_its_time() {
    let (facts, told) = demo("OQ-01", "14-one-idler-after-the-joint.ron");
    let diagnosis = Diagnosis::new(&BOOK);
    let finding = diagnosis.finding_to(&facts, &told, Depth::Ranking);
    let splice = symptom("follows-splice");
    assert!(finding.applied_at_start[splice] && finding.answers[splice].is_some());
    assert!(!finding.symptoms_apply[splice] && finding.latest[splice].is_none());
    assert!(!finding.second[0].applies[splice]);
    let mut odd = told.clone();
    odd.second[0].put(splice, Reply::Answer(AnswerAt::at(0)));
    let odd = diagnosis.finding_to(&facts, &odd, Depth::Ranking);
    assert_eq!(odd.second[0].ignored.first().unwrap().0, splice);
    assert_eq!(odd.ranked, finding.ranked, "it counts for nothing");
    let place = symptom("one-station");
    assert!(!finding.applied_at_start[place] && finding.latest[place].is_some());
}

/// Told in another order, or with a look in which nothing could be told, it is the same finding.
#[test]
fn looks_without_answers_change_no_chance() {
    let (facts, told) = demo("OQ-04", "06-after-the-first-batch.ron");
    let diagnosis = Diagnosis::new(&BOOK);
    let before = diagnosis.finding_to(&facts, &told, Depth::Ranking);
    let mut again = told.clone();
    again.look_again();
    assert_eq!(again.second.len(), 1);
    again.reply_now(&BOOK, symptom("strand"), Reply::CantTell);
    let after = diagnosis.finding_to(&facts, &again, Depth::Ranking);
    for (one, other) in before.ranked.iter().zip(&after.ranked) {
        assert_eq!(one.cause, other.cause);
        assert!((one.probability - other.probability).abs() < 1e-9);
    }
}
