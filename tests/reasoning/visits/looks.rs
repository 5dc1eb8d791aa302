//! Which look is taken next: what one person takes in at one place, by what it tells for its minutes.

use std::iter;

use fastrand::Rng;
use proptest::prelude::*;
use straybelt::conveyor::ConveyorSize;
use straybelt::conveyor::facts::Facts;
use straybelt::reason::{Evidence, Present};
use straybelt::rulebook::index::{AnswerAt, List, LookAt, Place, SymptomAt};
use straybelt::rulebook::model::{Book, Held, Look, Minutes, ToldBy, Tool};
use straybelt::trade::{LookPlace, MachineState, Worded};
use straybelt::visit::{
    Diagnosis, Finding, Machine, Means, NextLook, Observations, Reply, Standing, Stop,
};

use super::{finding, looked_on, signs, told};
use crate::support::books::{self, answered, not};
use crate::support::close;
use crate::support::draw;
use crate::support::enumerate::Enumeration;

/// From one end pulley to the other of a conveyor of which nothing is known: 66 m at 50 m a minute.
const WAY: f64 = 66.0 / 50.0;
const TO_TURN_TO: f64 = 0.3;
/// What is seen can be told so often.
const SEEN: f64 = 0.9;

fn at(symptom: usize) -> SymptomAt {
    SymptomAt::at(symptom)
}

/// The book with these looks: each at its place, with its standing minutes and its symptoms. What is in none has one of
/// its own.
fn with_looks(mut book: Book, looks: &[(LookPlace, f64, &[usize])]) -> Book {
    let look = |(number, (place, minutes, symptoms)): (usize, &(LookPlace, f64, &[usize]))| {
        let first = &book.symptoms[at(symptoms[0])];
        Look {
            id: format!("look-{number}"),
            place: Some(*place),
            minutes: *minutes,
            symptoms: symptoms.iter().map(|s| at(*s)).collect(),
            ..Look::of_its_own(at(symptoms[0]), first)
        }
    };
    let listed = looks.iter().enumerate().map(look);
    let in_one = |symptom| looks.iter().any(|(.., symptoms)| symptoms.contains(&symptom));
    let lone = (0..book.symptoms.len()).filter(|symptom| !in_one(*symptom)).map(at);
    let lone = lone.map(|symptom| Look::of_its_own(symptom, &book.symptoms[symptom]));
    let list: List<LookAt, Look> = listed.chain(lone).collect();
    for (place, look) in list.iter() {
        for symptom in &look.symptoms {
            book.symptoms[*symptom].look = place;
        }
    }
    book.looks = list;
    book
}

/// Two causes, each with signs that are as clear as each other, and a sign of nothing. No leader is enough.
fn alike(each: usize) -> Book {
    let one: (f64, &[(usize, f64)]) = (0.05, &[(0, 0.8)]);
    let other: (f64, &[(usize, f64)]) = (0.05, &[(1, 0.8)]);
    let both = iter::repeat_n(one, each).chain(iter::repeat_n(other, each));
    let of_nothing: (f64, &[(usize, f64)]) = (0.5, &[]);
    let all: Vec<_> = both.chain([of_nothing]).collect();
    let mut book = books::book(signs(&[0.2, 0.2], &all), 2);
    book.thresholds.enough = 1.1;
    book
}

/// Bits of a symptom before anything was told, by enumeration.
fn bits(book: &Book, symptom: usize) -> f64 {
    let nothing = Evidence::none(book.causes.len(), book.symptoms.len());
    let present = Present { min: 1, max: book.at_most };
    Enumeration::of(&book.network, present, &nothing).unwrap().bits(at(symptom))
}

fn standing_at(place: LookPlace) -> Standing {
    Standing { at: None, place: Some(place) }
}

fn next(finding: &Finding) -> &NextLook {
    match &finding.stop {
        Stop::LookOn(look) => look,
        other => panic!("{other:?}"),
    }
}

/// The looks of a finding that was made of this, by their numbers, best first.
fn looks(finding: &Finding) -> Vec<usize> {
    finding.next_looks.iter().map(|look| look.look.position()).collect()
}

/// What a look tells is what its things tell, each by itself and as far as it can be told; what it takes is the way
/// there, the standing and what each thing adds.
#[test]
fn a_look_is_the_sum_of_its_things_for_the_way_the_standing_and_each() {
    let head: &[usize] = &[3, 0, 1];
    let mut book =
        with_looks(alike(2), &[(LookPlace::Tail, 0.5, &[2]), (LookPlace::Head, 1.5, head)]);
    book.symptoms[at(0)].minutes = 0.25;
    book.symptoms[at(3)].minutes = 0.5;
    let told = Observations { standing: standing_at(LookPlace::Tail), ..Observations::none(&book) };
    let finding = finding(&book, &told);
    let look = |place: usize| {
        finding.next_looks.iter().find(|look| look.look == LookAt::at(place)).unwrap()
    };
    let items = |place: usize| look(place).items.iter().map(|s| s.position()).collect::<Vec<_>>();
    assert_eq!((items(0), items(1)), (vec![2], vec![3, 0, 1]), "in the order of the look");
    close(look(0).minutes, 0.5 + 1.0, "where one stands already there is no way");
    close(look(1).minutes, TO_TURN_TO + WAY + 1.5 + 0.25 + 0.5 + 1.0, "way, standing, things");
    close(look(0).bits, SEEN * bits(&book, 2), "one thing");
    let sum: f64 = head.iter().map(|s| bits(&book, *s)).sum();
    close(look(1).bits, SEEN * sum, "three things");
    close(look(1).rate(), look(1).bits / look(1).minutes, "a minute");
    // A longer conveyor has a longer way.
    let size = ConveyorSize { centres_m: Some(500.0), ..ConveyorSize::default() };
    let far = super::finding(&book, &Observations { size, ..told });
    let head = far.next_looks.iter().find(|look| look.look == LookAt::at(1)).unwrap();
    close(head.minutes, TO_TURN_TO + 10.0 + 1.5 + 1.75, "500 m at 50 m a minute");
}

/// The best rate comes first, ways and standing counted; of equal ones the earlier in the book.
#[test]
fn the_look_is_chosen_by_what_it_tells_a_minute() {
    let places = [(LookPlace::Tail, 1.0, &[0][..]), (LookPlace::Head, 1.0, &[1][..])];
    let book = with_looks(alike(1), &places);
    let chosen = |book: &Book, standing: Standing| {
        looks(&finding(book, &Observations { standing, ..Observations::none(book) }))
    };
    assert_eq!(chosen(&book, Standing::default()), [0, 1], "nobody knows where one stands");
    assert_eq!(chosen(&book, standing_at(LookPlace::Tail)), [0, 1]);
    assert_eq!(chosen(&book, standing_at(LookPlace::Head)), [1, 0]);
    assert_eq!(chosen(&book, Standing { at: Some(LookAt::at(1)), place: None }), [1, 0]);
    // The longer to stand there, the later.
    let mut long = book.clone();
    long.looks[LookAt::at(0)].minutes = 1.1;
    assert_eq!(chosen(&long, Standing::default()), [1, 0]);
    // Two things at one place tell more for their minutes than one.
    let places = [(LookPlace::Tail, 1.0, &[0][..]), (LookPlace::Head, 1.0, &[1, 2, 3][..])];
    let more = with_looks(alike(2), &places);
    assert_eq!(chosen(&more, Standing::default()), [1, 0]);
    let finding = finding(&more, &Observations::none(&more));
    assert_eq!(looked_on(&finding), [1, 2, 3]);
    assert_eq!(next(&finding), &finding.next_looks[0]);
    let rates: Vec<f64> = finding.next_looks.iter().map(NextLook::rate).collect();
    assert!(rates.is_sorted_by(|a, b| a >= b), "{rates:?}");
}

/// Whoever stands at a look takes in what else it shows for what that adds.
#[test]
fn whoever_stands_at_a_look_walks_and_stands_no_more() {
    let places = [(LookPlace::Tail, 5.0, &[0, 2][..]), (LookPlace::Head, 5.0, &[1, 3][..])];
    let book = with_looks(alike(2), &places);
    let mut told = told(&book, &[(1, 0)]);
    let minutes = |told: &Observations| {
        let finding = finding(&book, told);
        (looks(&finding)[0], finding.next_looks[0].minutes)
    };
    told.standing = Standing::default().moved_to(&book, LookAt::at(1));
    assert_eq!(minutes(&told), (1, 1.0));
    // The machine was started since: what shows there is taken in once more.
    told.standing = told.standing.taken_anew();
    let finding = finding(&book, &told);
    let head = finding.next_looks.iter().find(|look| look.look == LookAt::at(1)).unwrap();
    assert_eq!(head.minutes, 6.0);
}

/// Less than 0.02 bits is noise, however quickly it is told.
#[test]
fn what_tells_next_to_nothing_is_left_out_of_a_look() {
    let clear: (f64, &[(usize, f64)]) = (0.05, &[(0, 0.8)]);
    let faint = |link: f64| books::book(signs(&[0.2, 0.2], &[clear, (0.5, &[(0, link)])]), 2);
    let mut seen = Vec::new();
    for hundredths in 1..60 {
        let book = faint(f64::from(hundredths) / 100.0);
        let bits = bits(&book, 1);
        let mut book = with_looks(book, &[(LookPlace::Tail, 0.0, &[0, 1])]);
        book.symptoms[at(1)].minutes = 0.01;
        let items = looked_on(&finding(&book, &Observations::none(&book)));
        assert_eq!(items, if bits >= 0.02 { vec![0, 1] } else { vec![0] }, "{bits} bits");
        seen.push(bits >= 0.02);
    }
    assert!(seen.contains(&true) && seen.contains(&false));
    // A look at nothing else is none, and nothing is left then.
    let mut book =
        with_looks(faint(0.01), &[(LookPlace::Head, 0.0, &[0]), (LookPlace::Tail, 0.0, &[1])]);
    assert_eq!(looks(&finding(&book, &Observations::none(&book))), [0]);
    book.thresholds.enough = 1.1;
    let told = told(&book, &[(0, 0)]);
    assert_eq!(finding(&book, &told).stop, Stop::NothingLeft);
}

/// Nobody keeps more than six things in mind: those that tell most for what they add and for noting them.
#[test]
fn a_look_has_six_things_at_most() {
    let links: Vec<f64> = (0..8).map(|sign| 0.5 + 0.05 * f64::from(sign)).collect();
    let links: Vec<[(usize, f64); 1]> = links.into_iter().map(|link| [(0, link)]).collect();
    let rows: Vec<(f64, &[(usize, f64)])> = links.iter().map(|link| (0.05, &link[..])).collect();
    let book = books::book(signs(&[0.2, 0.2], &rows), 2);
    let order: &[usize] = &[7, 0, 1, 2, 3, 4, 5, 6];
    let mut book = with_looks(book, &[(LookPlace::Tail, 1.0, order)]);
    let nothing = Observations::none(&book);
    assert_eq!(looked_on(&finding(&book, &nothing)), [7, 2, 3, 4, 5, 6]);
    // What takes long gives way to what tells less and takes a moment.
    book.symptoms[at(7)].minutes = 10.0;
    assert_eq!(looked_on(&finding(&book, &nothing)), [1, 2, 3, 4, 5, 6]);
    // The others come next, once those were told.
    let mut told = nothing.clone();
    for symptom in 1..7 {
        told.replies[at(symptom)] = Reply::CantTell;
    }
    assert_eq!(looked_on(&finding(&book, &told)), [7, 0]);
}

/// What was said may call for a look: it counts double then, and no more.
#[test]
fn a_look_that_is_called_for_counts_double() {
    let mut orders = Vec::new();
    for quarters in 0..20 {
        let standing = 1.0 + 0.25 * f64::from(quarters);
        let places = [(LookPlace::Tail, 1.0, &[0][..]), (LookPlace::Head, standing, &[1][..])];
        let mut book = with_looks(alike(1), &places);
        let (calm, called) = (told(&book, &[(2, 0)]), told(&book, &[(2, 1)]));
        let order = |book: &Book, told: &Observations| looks(&finding(book, told));
        assert_eq!(order(&book, &called), [0, 1]);
        let condition = answered(2, &[1]);
        book.looks[LookAt::at(1)].early_if = vec![condition.clone()];
        // The ways are as long and the things as good: what counts is the minutes.
        let minutes = |standing: f64| TO_TURN_TO + standing + 1.0;
        let before = minutes(1.0) > 0.5 * minutes(standing);
        assert_eq!(order(&book, &called), if before { [1, 0] } else { [0, 1] }, "{standing}");
        orders.push(before);
        assert_eq!(order(&book, &calm), [0, 1], "it was answered otherwise");
        assert_eq!(order(&book, &Observations::none(&book)), [0, 1], "nobody was asked yet");
        // Of two that are called for, the better one.
        book.looks[LookAt::at(0)].early_if = vec![condition.clone()];
        assert_eq!(order(&book, &called), [0, 1]);
        // All conditions together, not one of them.
        book.looks[LookAt::at(0)].early_if.clear();
        book.looks[LookAt::at(1)].early_if = vec![condition.clone(), not(condition)];
        assert_eq!(order(&book, &called), [0, 1]);
    }
    assert!(orders.contains(&true) && orders.contains(&false));
}

/// A thing counts as far as it can be told: by the book at first, then by what this person could tell of its kind. So
/// many answers weigh as much as the book.
#[test]
fn what_can_be_told_is_learnt_from_what_was_told() {
    let mut book = alike(3);
    for symptom in 0..4 {
        book.symptoms[at(symptom)].told_by = ToldBy::History;
    }
    let book = with_looks(
        book,
        &[(LookPlace::Papers, 0.0, &[0, 1, 2, 3]), (LookPlace::Tail, 0.0, &[4, 5])],
    );
    let share = |told: &Observations, symptom: usize| {
        let finding = finding(&book, told);
        let question = finding.next.iter().find(|next| next.symptom == at(symptom)).unwrap();
        let look = book.symptoms[at(symptom)].look;
        let look = finding.next_looks.iter().find(|next| next.look == look).unwrap();
        let open = |at: &SymptomAt| finding.next.iter().find(|next| next.symptom == *at).unwrap();
        let bits: f64 = look.items.iter().map(|item| open(item).bits).sum();
        assert!(look.items.contains(&question.symptom));
        look.bits / bits
    };
    let reply = |replies: &[Reply]| {
        let mut told = Observations::none(&book);
        for (symptom, reply) in replies.iter().enumerate() {
            told.replies[at(symptom)] = *reply;
        }
        told
    };
    let (told, untold) = (Reply::Answer(AnswerAt::at(0)), Reply::CantTell);
    for (replies, expected) in [
        (&[][..], 0.6),
        (&[untold], 0.6 * 4.0 / 5.0),
        (&[untold, untold], 0.6 * 4.0 / 6.0),
        (&[told], (0.6 * 4.0 + 1.0) / 5.0),
        (&[told, untold], (0.6 * 4.0 + 1.0) / 6.0),
    ] {
        close(share(&reply(replies), 3), expected, "of the past");
        close(share(&reply(replies), 5), 0.9, "what is seen is another matter");
    }
}

/// The same minutes, the same bits: what is seen comes before what is measured, and that before what is known of old.
#[test]
fn what_can_be_told_more_surely_comes_first() {
    let sign: (f64, &[(usize, f64)]) = (0.05, &[(0, 0.8)]);
    let mut book = books::book(signs(&[0.2, 0.2], &[sign, sign, sign]), 2);
    book.symptoms[at(0)].told_by = ToldBy::History;
    book.symptoms[at(1)].told_by = ToldBy::Measured;
    let nothing = Observations::none(&book);
    assert_eq!(looks(&finding(&book, &nothing)), [2, 1, 0]);
}

/// What needs a tool that is not at hand, or somebody who knows the past and is not there, is in no look.
#[test]
fn what_cannot_be_told_for_want_of_means_is_left_out() {
    let mut book = alike(2);
    book.symptoms[at(0)].tools = vec!["thermometer".to_owned()];
    book.symptoms[at(1)].told_by = ToldBy::History;
    let tool = |name: &str| Tool {
        name: name.to_owned(),
        words: Vec::new(),
        held: Held::FromOutside,
        without: String::new(),
    };
    book.tools = vec![tool("thermometer"), tool("torch")];
    let book =
        with_looks(book, &[(LookPlace::Tail, 1.0, &[0, 1, 2]), (LookPlace::Head, 1.0, &[3])]);
    let with = |means: Means| {
        let told = Observations {
            means,
            standing: standing_at(LookPlace::Tail),
            ..Observations::none(&book)
        };
        looked_on(&finding(&book, &told))
    };
    let tools = |names: &[&str]| Some(names.iter().map(|&name| name.to_owned()).collect());
    assert_eq!(with(Means::default()), [0, 1, 2], "nobody has said");
    assert_eq!(with(Means { tools: tools(&["thermometer"]), ..Means::default() }), [0, 1, 2]);
    assert_eq!(with(Means { tools: tools(&["torch"]), ..Means::default() }), [1, 2]);
    assert_eq!(with(Means { history: Some(false), ..Means::default() }), [0, 2]);
    assert_eq!(with(Means { history: Some(true), ..Means::default() }), [0, 1, 2]);
    let bare = Means { tools: tools(&[]), history: Some(false), ..Means::default() };
    assert_eq!(with(bare), [2]);
}

/// What needs isolation is a check of the work, and no look begins there; from the machine at rest a look at the
/// running belt waits for the restart.
#[test]
fn no_look_before_work_needs_isolation() {
    let mut book = alike(2);
    book.symptoms[at(0)].state = MachineState::LockedOut;
    book.symptoms[at(1)].state = MachineState::Anywhere;
    book.minutes = Minutes { lock_out: 0.0, restart_and_watch: 10.0, ..book.minutes };
    let places = [
        (LookPlace::Tail, 1.0, &[0][..]),
        (LookPlace::Papers, 1.0, &[1][..]),
        (LookPlace::Head, 1.0, &[2, 3][..]),
    ];
    let book = with_looks(book, &places);
    for (machine, restart) in [(Machine::Running, 0.0), (Machine::LockedOut, 10.0)] {
        let finding = finding(&book, &Observations { machine, ..Observations::none(&book) });
        let mut order = looks(&finding);
        order.sort_unstable();
        assert_eq!(order, [1, 2], "{machine:?}");
        for look in &finding.next_looks {
            let expected =
                if look.look == LookAt::at(1) { 2.0 } else { TO_TURN_TO + 3.0 + restart };
            close(look.minutes, expected, "minutes");
        }
    }
    let told = told(&book, &[(1, 0), (2, 0), (3, 0)]);
    let finding = finding(&book, &told);
    assert_eq!((finding.stop, finding.next.len()), (Stop::NothingLeft, 2));
}

/// An hour of looking is enough: each look is gone to and stood at once, what could not be told took its minutes too, and
/// checks of the work are no looking.
#[test]
fn an_hour_of_looking_counts_ways_and_standing_once() {
    let mut book = alike(3);
    for symptom in 0..6 {
        book.symptoms[at(symptom)].minutes = 5.0;
    }
    book.symptoms[at(4)].state = MachineState::LockedOut;
    book.symptoms[at(4)].minutes = 600.0;
    let places = [
        (LookPlace::Tail, 30.0, &[0, 1][..]),
        (LookPlace::Head, 10.0, &[2][..]),
        (LookPlace::Drive, 1.0, &[3, 5][..]),
        (LookPlace::TakeUp, 1.0, &[4][..]),
    ];
    let mut book = with_looks(book, &places);
    book.walking.to_turn_to_minutes = 0.0;
    // 30 + 5 + 5 for the first, 10 + 5 for the second: 55. A check of the work besides.
    let mut told = told(&book, &[(0, 1), (2, 0), (4, 0)]);
    told.replies[at(1)] = Reply::CantTell;
    assert_eq!(looked_on(&finding(&book, &told)), [3, 5]);
    for (turning, over) in [(2.49, false), (2.51, true)] {
        book.walking.to_turn_to_minutes = turning;
        assert_eq!(finding(&book, &told).stop == Stop::TimeIsUp, over, "{turning}");
        assert_eq!(finding(&book, &told).stop.now(), over, "{turning}");
    }
    // What could be looked at is still told to whoever wants to go on.
    assert_eq!(looks(&finding(&book, &told)), [2]);
}

/// A leader of 80 in 100 is enough, whatever could still be looked at.
#[test]
fn looking_ends_with_a_leader_of_eighty_in_a_hundred() {
    let mut ends = Vec::new();
    for prior in 1..40 {
        let prior = f64::from(prior) / 40.0;
        let sign: (f64, &[(usize, f64)]) = (0.05, &[(0, 0.8)]);
        let book = books::book(signs(&[prior, 0.2], &[sign, sign]), 2);
        let book = with_looks(book, &[(LookPlace::Tail, 1.0, &[0, 1])]);
        let finding = finding(&book, &told(&book, &[(0, 1)]));
        let leader = finding.ranked[0].probability;
        assert_eq!(finding.stop == Stop::LeaderStands, leader >= 0.8, "{leader}");
        ends.push(finding.stop.now());
    }
    assert!(ends.contains(&true) && ends.contains(&false), "{ends:?}");
}

/// A book at random with looks of one to several things, some called for, some not to be told.
fn random(rng: &mut Rng) -> Book {
    let (causes, symptoms) = (rng.usize(2..=5), rng.usize(2..=9));
    let mut book = books::book(draw::network(rng, causes, symptoms), rng.usize(1..=3));
    book.minutes.restart_and_watch = 10.0 * rng.f64();
    book.thresholds.enough = 0.5 + 0.5 * rng.f64();
    for symptom in book.symptoms.places() {
        let entry = &mut book.symptoms[symptom];
        entry.minutes = [0.1, 1.0, 12.0 * rng.f64() + 0.1][rng.usize(0..3)];
        entry.told_by = [ToldBy::Seen, ToldBy::History, ToldBy::Measured][rng.usize(0..3)];
    }
    let mut order: Vec<usize> = (0..symptoms).collect();
    rng.shuffle(&mut order);
    let mut groups: Vec<(LookPlace, f64, Vec<usize>)> = Vec::new();
    while !order.is_empty() {
        let shown = order.split_off(order.len() - rng.usize(1..=order.len()));
        let state = [MachineState::Running, MachineState::Anywhere, MachineState::LockedOut];
        let state = state[[0, 0, 0, 1, 2][rng.usize(0..5)]];
        for symptom in &shown {
            book.symptoms[at(*symptom)].state = state;
        }
        groups.push((LookPlace::ALL[rng.usize(0..LookPlace::ALL.len())], 3.0 * rng.f64(), shown));
    }
    let places: Vec<(LookPlace, f64, &[usize])> =
        groups.iter().map(|(place, minutes, shown)| (*place, *minutes, &shown[..])).collect();
    let mut book = with_looks(book, &places);
    for look in book.looks.places() {
        if rng.f64() < 0.2 {
            book.looks[look].early_if = vec![answered(rng.usize(0..symptoms), &[0, 1])];
        }
    }
    book
}

fn random_told(rng: &mut Rng, book: &Book) -> Observations {
    let mut told = Observations::none(book);
    for (symptom, node) in book.network.nodes.iter() {
        told.replies[symptom] = match rng.u32(0..6) {
            0 => Reply::CantTell,
            1..3 => Reply::Answer(AnswerAt::at(rng.usize(0..node.answers))),
            _ => Reply::Unanswered,
        };
    }
    if rng.bool() {
        let look = LookAt::at(rng.usize(0..book.looks.len()));
        told.standing = told.standing.moved_to(book, look);
    }
    if rng.f64() < 0.3 {
        told.machine = Machine::LockedOut;
    }
    told.means.history = [None, Some(true), Some(false)][rng.usize(0..3)];
    told
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// The short way to the next look, by bounds, and the list of all looks agree; and whatever is in a look may be asked,
    /// tells something, can be told, and needs no isolation.
    #[test]
    fn the_short_way_and_the_list_agree(seed in any::<u64>()) {
        let rng = &mut Rng::with_seed(seed);
        let book = random(rng);
        let told = random_told(rng, &book);
        let diagnosis = Diagnosis::new(&book);
        let finding = diagnosis.finding(&Facts::default(), &told);
        let applicable = diagnosis.applicability(&Facts::default(), &told);
        prop_assert_eq!(&diagnosis.stop(&applicable), &finding.stop);
        if let Stop::LookOn(look) = &finding.stop {
            prop_assert_eq!(Some(look), finding.next_looks.first());
        }
        for look in &finding.next_looks {
            prop_assert!((1..=6).contains(&look.items.len()));
            prop_assert!(book.looks[look.look].state != MachineState::LockedOut);
            let own: f64 = look.items.iter().map(|s| book.symptoms[*s].minutes).sum();
            prop_assert!(look.minutes >= own - 1e-9);
            let shown = &book.looks[look.look].symptoms;
            let places: Vec<_> = look.items.iter().map(|s| shown.iter().position(|o| o == s)).collect();
            prop_assert!(places.is_sorted() && !places.contains(&None));
            for item in &look.items {
                let open = finding.next.iter().find(|next| next.symptom == *item);
                prop_assert!(open.is_some_and(|open| open.bits >= 0.02));
                prop_assert!(told.means.suffice(&book, *item));
            }
        }
    }
}
