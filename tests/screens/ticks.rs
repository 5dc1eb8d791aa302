//! A list to tick: what is there or not, standing at one place.

use std::fs;

use straybelt::rulebook::load;
use straybelt::visit::event::Event;

use super::site::{OQ_04, SAFE, Site, both, from, typed};
use crate::support::files::{copy, quick_folder, root};

/// The small book with four signs to be ticked at the return rolls. One waits for another of them.
fn site() -> Site {
    let folder = quick_folder();
    copy(&root("tests/screens/book"), folder.path());
    fs::write(folder.path().join("symptoms/signs.ron"), SIGNS).expect("written");
    fs::write(folder.path().join("looks/looks.ron"), LOOKS).expect("written");
    let book = load::with_site(Some(folder.path()));
    Site::with(book.unwrap_or_else(|problems| panic!("{problems:?}")).0)
}

const SIGNS: &str = r#"[
    (id: "still", kind: Sign, ask: "Does a roll stand still?", answers: [("no", "No"), ("yes", "Yes")],
        tick: "A roll stands still", look: "Torch along each roll.", why: "It drags on the belt.",
        minutes: 0.5, state: Running, by_itself: Seldom, seen_with: [("caked-rolls", Often)], source: CommonPractice),
    (id: "hot", kind: Sign, ask: "Is that roll hot?", answers: [("no", "No"), ("yes", "Yes")],
        tick: "That roll is hot", look: "By infrared, from outside the guards.", why: "It has been still for long.",
        minutes: 0.5, state: Running, only_if: [Answer("still", ["yes"])], by_itself: Sometimes,
        seen_with: [("caked-rolls", Usually)], source: CommonPractice),
    (id: "bright", kind: Sign, ask: "Is a roll polished?", answers: [("no", "No"), ("yes", "Yes")],
        tick: "A roll is polished", look: "Compare it with its neighbours.", why: "The belt rubs along it.",
        minutes: 0.5, state: Running, by_itself: Seldom, seen_with: [("skewed-idler", Often)], source: CommonPractice),
    (id: "bent", kind: Sign, ask: "Is a beam bent?", answers: [("no", "No"), ("yes", "Yes")],
        tick: "A beam is bent", look: "Sight along both.", why: "The frame stands askew there.",
        minutes: 0.5, state: Running, by_itself: Seldom, seen_with: [("low-frame", Often)], source: CommonPractice),
]"#;

const LOOKS: &str = r#"[
    (id: "rolls", title: "The return rolls and what they stand on", place: ReturnRun, state: Running,
        stand: "Outside the guards, with a torch on each roll.", minutes: 1.0,
        symptoms: ["still", "hot", "bright", "bent", "ridges"], source: CommonPractice),
    (id: "walk", title: "Once along the belt", place: WholeLine, state: Running,
        stand: "On the walkway, outside the guards.", minutes: 5.0,
        symptoms: ["first-split", "where", "strand", "runs-toward", "jumps"], source: CommonPractice),
    (id: "shift", title: "Ask whoever runs it", place: Papers, state: Anywhere, stand: "By radio.",
        minutes: 9.0, symptoms: ["windy"], source: CommonPractice),
    (id: "frame", title: "The frame, in hand", place: CarryRun, state: LockedOut, stand: "At the place.",
        minutes: 5.0, symptoms: ["low-side"], source: CommonPractice),
]"#;

/// What was ticked, in the words of the visit's file: there, not there, untold.
fn ticked(site: &Site) -> Vec<[String; 3]> {
    let events = site.store().look(1).expect("it reads").events;
    let lists = events.into_iter().filter_map(|event| match event.what {
        Event::Ticked { there, not_there, cant_tell } => {
            Some([there.join(" "), not_there.join(" "), cant_tell.join(" ")])
        }
        _ => None,
    });
    lists.collect()
}

/// One sitting up to the first list, and this typed there.
fn at_the_list(lines: &[&str]) -> (String, Vec<[String; 3]>) {
    let site = site();
    let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, lines]));
    (from(&seen, "--- Look 1"), ticked(&site))
}

#[test]
fn the_pages_of_a_list() {
    both("ticks", |width| {
        let lines = ["w", "l", "1 ?3", "1", "b 2", "1", "1", "h", "0", "s"];
        let (seen, exit) = site().sit(width, OQ_04, &typed(&[SAFE, &lines]));
        (from(&seen, "--- Look 1"), exit)
    });
}

/// What is ticked is there, what is not ticked is not, "?" cannot be told; each list is one reply.
#[test]
fn what_is_ticked_is_there_and_the_rest_is_not() {
    for (line, there, not_there, untold) in [
        ("1 3", "still bent", "bright", ""),
        ("3,1", "still bent", "bright", ""),
        ("0", "", "still bright bent", ""),
        ("none", "", "still bright bent", ""),
        ("1 ?2", "still", "bent", "bright"),
        ("0 ?2 ?3", "", "still", "bright bent"),
        ("c", "", "", "still bright bent"),
        ("?", "", "", "still bright bent"),
    ] {
        let (_, lists) = at_the_list(&[line, "s"]);
        assert_eq!(lists, [[there, not_there, untold].map(str::to_owned)], "{line}");
    }
}

/// What waits for another thing of the look is asked there once that was ticked, and not otherwise.
#[test]
fn what_waits_for_a_tick_is_asked_after_it() {
    let (seen, _) = at_the_list(&["1", "1", "s"]);
    let (hot, dirt) = (seen.find("Is that roll hot?"), seen.find("How much dirt"));
    assert!(hot > dirt && dirt.is_some(), "{seen}");
    assert!(seen[dirt.unwrap()..].contains("--- Look 2: the return rolls"), "{seen}");
    for line in ["2", "0", "0 ?1", "c"] {
        let (seen, _) = at_the_list(&[line, "1", "s"]);
        assert!(
            !seen.contains("That roll is hot") && !seen.contains("Is that roll hot?"),
            "{seen}"
        );
        assert!(seen.contains("How much dirt"), "the rest of the look comes all the same:\n{seen}");
    }
}

#[test]
fn a_wrong_line_is_said_and_the_list_stands() {
    for (line, wrong) in [
        ("9", "There is no line 9 here."),
        ("1 1", "1 is there twice."),
        ("?2 2", "2 is ticked and marked can't tell"),
        ("0 2", "0 means none of these"),
        ("", "Nothing was typed."),
        ("1 x", "\"1 x\" is not known here."),
        ("?x", "is not known here."),
        ("-1", "is not known here."),
        ("m 2", "is not known here."),
    ] {
        let (seen, lists) = at_the_list(&[line, "2", "s"]);
        let seen = seen.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(seen.contains(wrong), "{line}: {seen}");
        assert!(seen.contains("Type the numbers of all that apply"), "{line}: {seen}");
        assert_eq!(lists.len(), 1, "{line}: nothing of it was taken");
        assert_eq!(lists[0][0], "bright", "{line}");
    }
}

/// Keys show their pages and put the same list again; nothing is told by them.
#[test]
fn keys_do_not_change_which_look_stands_there() {
    for key in ["w", "why", "l", "look how", "f", "so far", "m", "h"] {
        let site = site();
        let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, &[key, "s"]]));
        assert_eq!(seen.matches("Tick all that apply").count(), 2, "{key}: {seen}");
        assert_eq!(seen.matches("--- Look 1: the return rolls").count(), 2, "{key}: {seen}");
        assert!(ticked(&site).is_empty(), "{key}");
    }
    // In the midst of a look, with its list behind one.
    for key in ["w", "l", "f", "m", "h"] {
        let (seen, lists) = at_the_list(&["0", key, "s"]);
        assert_eq!(seen.matches("How much dirt is caked").count(), 2, "{key}: {seen}");
        assert_eq!(lists.len(), 1);
    }
}

/// One step back takes the whole list back, and it stands there as it was put first.
#[test]
fn back_undoes_the_list() {
    let site = site();
    let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, &["1 2", "b", "3", "s"]]));
    assert_eq!(seen.matches("Tick all that apply").count(), 2, "{seen}");
    let lists = ticked(&site);
    assert_eq!((lists[0][0].as_str(), lists[1][0].as_str()), ("still bright", "bent"));
    let listed = |seen: &str, nth: usize| -> String {
        let part = seen.split("Tick all that apply").nth(nth).expect("a list");
        part[..part.find("Numbers, 0").expect("a prompt")].to_owned()
    };
    assert_eq!(listed(&seen, 1), listed(&seen, 2));
    // From the first thing of the next look back over the whole of this one.
    let (seen, _) = self::site().sit(40, OQ_04, &typed(&[SAFE, &["0", "1", "b 2", "1", "1", "s"]]));
    assert_eq!(seen.matches("Tick all that apply").count(), 2, "{seen}");
    assert!(seen.rfind("Tick all").unwrap() > seen.rfind("--- Look 2").unwrap_or(0), "{seen}");
}

/// Looks are numbered as they are taken: one is not counted anew by its second thing, nor after back.
#[test]
fn looks_are_numbered_one_after_the_other() {
    let (seen, _) = at_the_list(&["0", "c", "c", "c", "b 3", "1", "1", "c", "c", "c", "c", "s"]);
    let titles: Vec<&str> = seen.lines().filter(|line| line.starts_with("--- Look ")).collect();
    let numbers: Vec<u32> = titles
        .iter()
        .map(|title| title["--- Look ".len()..].split(':').next().unwrap().parse().unwrap())
        .collect();
    assert_eq!(numbers[0], 1, "{titles:?}");
    for (before, after) in numbers.iter().zip(&numbers[1..]) {
        assert!(after - before.min(after) <= 1, "{titles:?}");
    }
    let of = |number: u32| -> Vec<&str> {
        let all = titles.iter().zip(&numbers).filter(|(_, n)| **n == number);
        all.map(|(title, _)| title.split(':').nth(1).unwrap_or_default()).collect()
    };
    for number in 1..=*numbers.iter().max().unwrap() {
        let names = of(number);
        assert!(!names.is_empty() && names.iter().all(|name| *name == names[0]), "{titles:?}");
    }
}

/// A visit that was left in the midst of a look goes on there.
#[test]
fn a_look_is_gone_on_with_where_it_was_left() {
    let site = site();
    site.sit(40, OQ_04, &typed(&[SAFE, &["s"]]));
    let (seen, _) = site.resume(40, 1, &["1", "1", "1 2", "s"]);
    assert!(seen.contains("--- Look 1: the return rolls"), "{seen}");
    let (seen, _) = site.resume(40, 1, &["1", "1", "s"]);
    assert!(!seen.contains("Tick all that apply"), "it was ticked:\n{seen}");
    assert!(seen.contains("Is that roll hot?") || seen.contains("How much dirt"), "{seen}");
}
