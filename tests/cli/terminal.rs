//! A real terminal of 40 columns: answers, back, why, a kill in the middle, going on, Ctrl-C.

use std::path::Path;

use rexpect::session::{PtySession, spawn_command};

const PATIENCE_MS: u64 = 120_000;
const PROGRAM: &str = env!("CARGO_BIN_EXE_straybelt");

pub(super) fn start(state: &Path, arguments: &str) -> PtySession {
    start_with("diagnose", state, arguments)
}

/// On a screen so high that no page is stopped.
fn start_with(command: &str, state: &Path, arguments: &str) -> PtySession {
    start_on(400, command, state, arguments)
}

fn start_on(rows: usize, command: &str, state: &Path, arguments: &str) -> PtySession {
    let (program, state) = (PROGRAM, state.display());
    let script =
        format!("stty cols 40 rows {rows}; exec {program} {command} --state {state} {arguments}");
    at(shell(&script))
}

/// A shell with this script, at a terminal that says how wide it is and is not painted.
fn shell(script: &str) -> std::process::Command {
    let mut shell = std::process::Command::new("sh");
    shell.arg("-c").arg(script);
    shell.env_remove("COLUMNS").env("TERM", "xterm").env("NO_COLOR", "1");
    shell
}

fn at(shell: std::process::Command) -> PtySession {
    spawn_command(shell, Some(PATIENCE_MS)).expect("a terminal")
}

/// The same on a terminal that is painted.
fn painted(state: &Path, arguments: &str) -> PtySession {
    let (program, state) = (PROGRAM, state.display());
    let mut shell = shell(&format!(
        "stty cols 80 rows 400; exec {program} diagnose --state {state} {arguments}"
    ));
    shell.env_remove("NO_COLOR");
    at(shell)
}

/// Waits for the question, then types the reply.
fn reply(session: &mut PtySession, question: &str, reply: &str) {
    session.exp_string(question).unwrap_or_else(|e| panic!("no {question:?}: {e}"));
    session.exp_string("letter: ").unwrap_or_else(|e| panic!("no prompt after {question:?}: {e}"));
    session.send_line(reply).expect("typed");
}

pub(super) fn conveyor() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    format!("--conveyor {}", root.join("examples/ostrel-quay/conveyors/OQ-04.ron").display())
}

/// A visit that has come to the first look, with this at hand: a thermometer, a torch, a stopwatch, somebody who knows the conveyor.
fn at_the_looks(state: &Path, at_hand: &str) -> PtySession {
    let mut session = start(state, &conveyor());
    reply(&mut session, "Understood", "1");
    reply(&mut session, "1 of 4", "1");
    reply(&mut session, "2 of 4", "no");
    reply(&mut session, "3 of 4", "N");
    reply(&mut session, "4 of 4", "1");
    reply(&mut session, "How far off?", "3");
    reply(&mut session, "What is at hand?", at_hand);
    reply(&mut session, "Who locks out?", "1");
    session
}

/// Kills it as a power cut would.
fn kill(mut session: PtySession) {
    session.process_mut().kill(rexpect::process::Signal::SIGKILL).expect("killed");
}

/// Takes the visit up again, past the questions that may stop everything.
fn take_up(state: &Path) -> PtySession {
    let mut session = start(state, "--resume");
    reply(&mut session, "Understood", "1");
    session.exp_string("Going on with: Visit 1").expect("which visit");
    for question in 1..=4 {
        reply(&mut session, &format!("{question} of 4"), "1");
    }
    session
}

/// Ctrl-C at the prompt that comes next.
fn interrupted(session: &mut PtySession) {
    session.exp_string("letter: ").expect("its prompt");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("Saved as visit 1").expect("the farewell");
    session.exp_string("--resume 1").expect("how to go on");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
}

#[test]
fn a_visit_survives_a_kill_and_ctrl_c() {
    let state = tempfile::tempdir().expect("a folder");
    // Nobody knows the past, so the first look is the walk along the line.
    let mut session = at_the_looks(state.path(), "1 2 3");
    reply(&mut session, "Look 1: one walk", "l");
    session.exp_string("How to look").expect("how to look");
    reply(&mut session, "Where on the conveyor", "5");
    // The return strand is named by the place: nobody is asked which strand it is.
    reply(&mut session, "Where does most", "why");
    session.exp_string("Why this question").expect("why");
    reply(&mut session, "Where does most", "1");
    reply(&mut session, "How much material", "back");
    // Back at the spilled material its answer is open again.
    reply(&mut session, "Where does most", "nonsense");
    session.exp_string("is not known here").expect("the helpful line");
    session.send_line("2").expect("typed");
    session.exp_string("How much material").expect("the third question");
    kill(session);

    let text = the_visit(state.path());
    assert!(text.contains("symptom: \"where\", answer: Some(\"return-run\")"), "{text}");
    assert!(text.contains("Back(steps: 1)"), "{text}");
    assert!(text.contains("symptom: \"spill-where\", answer: Some(\"load-zone\")"), "{text}");

    let mut session = take_up(state.path());
    // Every answer is found again: it goes on with the third thing of the look.
    reply(&mut session, "How much material", "2");
    session.exp_string("Look 2").expect("the next look");
    interrupted(&mut session);
    let text = the_visit(state.path());
    for kept in [
        "stops: false",
        "EdgeRoom(answer: Some(",
        "MeansTold(",
        "MayLockOut(may: true)",
        "LookBegun(look: \"walk-line\"",
        "symptom: \"where\", answer: Some(\"return-run\")",
        "symptom: \"spill-where\", answer: Some(",
        "symptom: \"heaps-under-return\", answer: Some(",
    ] {
        assert!(text.contains(kept), "{kept} is lost in\n{text}");
    }
    // Asked at the beginning, and again when it was taken up.
    assert_eq!(text.matches("StopAnswered(").count(), 8, "{text}");
}

/// Nothing scrolls away: a page of more rows than the screen has stops until Enter is pressed; other keys do nothing.
#[test]
fn a_page_stops_at_a_screenful() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start_on(10, "diagnose", state.path(), &conveyor());
    session.exp_string("Before you look").expect("the first page");
    let first = session.exp_string("-- more: press Enter").expect("it stops");
    assert!(first.lines().count() <= 10, "{first}");
    session.send("x").expect("typed");
    session.send_line("").expect("typed");
    let second = session.exp_string("-- more: press Enter").expect("it stops again");
    assert!(second.contains("Before any work") && !second.contains("1 or a letter"), "{second}");
    session.send_line("").expect("typed");
    session.exp_string("1 or a letter: ").expect("the prompt at last");
    session.send_line("1").expect("typed");
    session.exp_string("1 of 4").expect("the next page");
    session.exp_string("-- more: press Enter").expect("it stops as well");
    session.send_line("").expect("typed");
    session.exp_string("letter: ").expect("its prompt");
    session.send_line("h").expect("typed");
    session.exp_string("-- more: press Enter").expect("the help is longer");
    session.send_control('c').expect("Ctrl-C");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
}

#[test]
fn a_list_to_tick_is_taken_back_and_survives_a_kill() {
    let state = tempfile::tempdir().expect("a folder");
    // Whoever runs it is there and is asked first.
    let mut session = at_the_looks(state.path(), "1 2 3 4");
    reply(&mut session, "Tick all that you are", "why");
    session.exp_string("Why this look").expect("why");
    reply(&mut session, "Tick all that you are", "9");
    session.exp_string("no line 9").expect("what is wrong");
    session.send_line("1 1").expect("typed");
    session.exp_string("is there twice").expect("what is wrong");
    session.send_line("1 ?2").expect("typed");
    // What was noted is read back before the next thing of the same look.
    session.exp_string("Yes: ").expect("what was ticked");
    session.exp_string("Can't tell: ").expect("what could not be told");
    reply(&mut session, "Look 1: ask whoever", "back");
    reply(&mut session, "Tick all that you are", "0");
    session.exp_string("No: ").expect("what was noted");
    session.exp_string("Look 1: ask whoever").expect("the next thing of the look");
    kill(session);

    let text = the_visit(state.path());
    assert!(text.contains("LookBegun(look: \"ask-shift\""), "{text}");
    let lists: Vec<&str> = text.split("Ticked(").skip(1).collect();
    assert_eq!(lists.len(), 2, "{text}");
    assert!(text.contains("Back(steps: 1)"), "{text}");
    assert!(!lists[0].starts_with("there: []") && lists[1].starts_with("there: []"), "{text}");

    let mut session = take_up(state.path());
    // The list is not put again; the look goes on where it was left.
    session.exp_string("Look 1: ask whoever").expect("the look");
    let page = session.exp_string("letter: ").expect("a question");
    assert!(!page.contains("Tick all"), "{page}");
    session.send_line("c").expect("typed");
    interrupted(&mut session);
    assert_eq!(the_visit(state.path()).matches("Ticked(").count(), 2);
}

/// A question of which several answers hold is a list to tick too; what was ticked is one reply.
#[test]
fn several_answers_are_ticked_at_once_and_survive_a_kill() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = at_the_looks(state.path(), "1 2 3");
    up_to(&mut session, "What is off centre");
    session.send_line("1 4").expect("typed");
    session.exp_string("no line 4").expect("what is wrong");
    session.send_line("0 1").expect("typed");
    session.exp_string("letter: ").expect("asked again");
    session.send_line("3 1").expect("typed");
    reply(&mut session, "Look 2", "b");
    reply(&mut session, "What is off centre", "0");
    reply(&mut session, "Look 2", "b");
    reply(&mut session, "What is off centre", "1 3");
    session.exp_string("Look 2").expect("the next thing of the look");
    kill(session);

    let text = the_visit(state.path());
    for told in ["Some(\"one-place+one-part\")", "Some(\"none\")"] {
        assert!(text.contains(told), "{told} is not in\n{text}");
    }
    let mut session = take_up(state.path());
    session.exp_string("Look 2").expect("the look goes on");
    let page = session.exp_string("letter: ").expect("a question");
    assert!(!page.contains("What is off centre"), "{page}");
    session.send_line("c").expect("typed");
    interrupted(&mut session);
}

#[test]
fn no_line_is_wider_than_the_screen_and_nothing_is_drawn_twice() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = at_the_looks(state.path(), "2 4");
    reply(&mut session, "Look 1", "s");
    let rest = session.exp_eof().expect("the end");
    assert_eq!(rest.matches("Saved as visit 1").count(), 1, "{rest}");
    for line in rest.lines() {
        // A line that is written over itself is measured each time for itself.
        let width = line.split('\r').map(|text| text.chars().count()).max().unwrap_or_default();
        // The folder's name alone is never wrapped, so that it can be copied.
        assert!(width <= 40 || line.contains("Kept in") || line.contains("--state"), "{line:?}");
    }
}

#[test]
fn a_run_of_a_drill_survives_a_kill_and_ctrl_c() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start_with("drill run crooked-splice", state.path(), "");
    // Past how it works, the briefing and the belt.
    for page in ["How this works", "What you can take home", "from above"] {
        session.exp_string(page).expect(page);
        session.exp_string("Press Enter to go on").expect("it waits");
        session.send_line("").expect("typed");
    }
    reply(&mut session, "What do you do?", "nonsense");
    session.exp_string("is not known here").expect("the helpful line");
    session.send_line("7").expect("typed");
    session.exp_string("STORED ENERGY").expect("the steps");
    session.exp_string("What do you do?").expect("the next choice");
    session.process_mut().kill(rexpect::process::Signal::SIGKILL).expect("killed");
    drop(session);
    assert!(kept(state.path(), "runs").contains("what: LockOut"));

    let mut session = start_with("drill again 1", state.path(), "");
    for _ in 0..2 {
        session.exp_string("Press Enter to go on").expect("it waits");
        session.send_line("").expect("typed");
    }
    session.exp_string("Locked out").expect("as it was left");
    session.exp_string("letter: ").expect("its prompt");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("drill again 1").expect("how to go on");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
}

/// Answers what is asked until this stands on the screen, and leaves its question open: locks out point by point, says
/// that a look calls for the work, and gives the first answer elsewhere.
fn up_to(session: &mut PtySession, wanted: &str) -> String {
    for asked in 0..100 {
        let (page, label) = session.exp_regex("(letter|In a word): ").expect("a question");
        if !page.contains("--- ") {
            // The prompt is drawn anew after the first letter of a reply.
            continue;
        }
        if page.contains(wanted) {
            return page;
        }
        let line = match (label.as_str(), page.contains("Look before you work")) {
            ("In a word: ", _) => format!("MK, pins {asked}"),
            (_, true) => "2".to_owned(),
            _ => "1".to_owned(),
        };
        session.send_line(&line).expect("typed");
    }
    panic!("never came to {wanted:?}");
}

/// Work is put a step to a screen. Back goes a step back; where somebody is in the steps is not kept, so that after a
/// break the machine is locked out anew and the part begins at its first step.
#[test]
fn a_job_goes_step_by_step_and_survives_a_kill() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = at_the_looks(state.path(), "1 2 3");
    reply(&mut session, "Look 1", "p");
    up_to(&mut session, "Step 1 of ");
    session.send_line("").expect("Enter alone");
    session.exp_string("Step 2 of ").expect("the next step");
    session.exp_string("letter: ").expect("its prompt");
    session.send_line("a").expect("typed");
    session.exp_string("All cautions").expect("the cautions");
    reply(&mut session, "Step 2 of ", "b");
    reply(&mut session, "Step 1 of ", "1");
    session.exp_string("Step 2 of ").expect("the next step");
    kill(session);

    let text = the_visit(state.path());
    // A job before it may have been found not needed by its look.
    let in_hand = text.rsplit("FixBegun(").next().expect("a job was begun");
    assert!(text.contains("FixBegun(") && !in_hand.contains("Worked("), "{text}");
    assert!(!text.contains("Back("), "a step back takes no reply back: {text}");

    let mut session = take_up(state.path());
    session.exp_string("The machine now").expect("what the machine does");
    session.exp_string("letter: ").expect("its prompt");
    session.send_line("2").expect("typed");
    session.exp_string("Lock out, point 1 of 7").expect("it is locked out anew");
    session.exp_string("letter: ").expect("its prompt");
    session.send_line("1").expect("typed");
    let page = up_to(&mut session, "Step 1 of ");
    assert!(!page.contains("Step 2 of "), "{page}");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("--resume 1").expect("how to go on");
}

/// Within a gauge of a visit Ctrl-C leaves the gauge, and `<` at its first line does; elsewhere Ctrl-C ends the program.
#[test]
fn ctrl_c_in_a_gauge_leaves_the_gauge() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = at_the_looks(state.path(), "1 2 3");
    reply(&mut session, "Look 1", "p");
    up_to(&mut session, "Something else: more choices");
    let measure = |session: &mut PtySession| {
        session.send_line("g").expect("typed");
        session.exp_string("Measure what?").expect("which gauge");
        let (page, _) = session.exp_regex("letter: ").expect("its prompt");
        let line = page.lines().find(|line| line.contains("trace:")).expect("the gauge");
        session.send_line(line.split_whitespace().next().expect("its number")).expect("typed");
        session.exp_string("does one belt turn").expect("its first line");
        session.exp_string("[s]: ").expect("its prompt");
    };
    measure(&mut session);
    session.send("12").expect("typed");
    session.flush().expect("typed");
    session.exp_string("12").expect("what was typed");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("The measurement is not kept").expect("out of the gauge");
    session.exp_string("Something else: more choices").expect("the question before");
    session.exp_string("letter: ").expect("its prompt");
    measure(&mut session);
    session.send_line("<").expect("typed");
    session.exp_string("The measurement is not kept").expect("out of the gauge");
    interrupted(&mut session);
    assert_eq!(the_visit(state.path()).matches("MeasuringLeft").count(), 2);
}

#[test]
fn plain_lines_hold_no_control_sequence_on_a_terminal_either() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = painted(state.path(), "");
    let seen = session.exp_string("letter: ").expect("a question");
    assert!(seen.contains('\u{1b}'), "this terminal is painted: {seen:?}");
    drop(session);
    let mut session = painted(state.path(), &format!("--plain {}", conveyor()));
    let mut seen = String::new();
    for line in ["1", "1", "no", "N"] {
        seen += &session.exp_string("letter: ").expect("a question");
        session.send_line(line).expect("typed");
    }
    seen += &session.exp_string("letter: ").expect("a question");
    session.send_control('d').expect("Ctrl-D");
    seen += &session.exp_eof().expect("the end");
    assert!(seen.contains("Saved as visit 1"), "{seen}");
    assert!(!seen.contains('\u{1b}'), "{seen:?}");
}

#[test]
fn ctrl_d_at_a_question_saves_and_ends() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start(state.path(), &conveyor());
    reply(&mut session, "Understood", "1");
    reply(&mut session, "1 of 4", "1");
    session.exp_string("2 of 4").expect("the second question");
    session.exp_string("letter: ").expect("its prompt");
    session.send_control('d').expect("Ctrl-D");
    session.exp_string("Saved as visit 1").expect("the farewell");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 0)), "{status:?}");
    assert!(the_visit(state.path()).contains("StopAnswered("));
}

fn the_visit(state: &Path) -> String {
    kept(state, "visits")
}

/// The first record of a folder.
fn kept(state: &Path, folder: &str) -> String {
    let year =
        std::fs::read_dir(state.join(folder)).expect("a folder").flatten().next().expect("a year");
    std::fs::read_to_string(year.path().join("0001.ron")).expect("a record")
}

#[test]
fn the_next_page_is_as_wide_as_the_window_is_now() {
    let state = tempfile::tempdir().expect("a folder");
    let tty = state.path().join("tty");
    let kept = state.path().join("visits");
    let mut session = at(shell(&format!(
        "tty >{}; stty cols 40 rows 400; exec {PROGRAM} diagnose --state {}",
        tty.display(),
        kept.display()
    )));
    reply(&mut session, "Understood", "1");
    reply(&mut session, "1 of 4", "h");
    // At 40 columns the line breaks.
    session.exp_string("The number of the answer that\r\n").expect("help at 40 columns");
    session.exp_string("letter: ").expect("the prompt again");
    let name = std::fs::read_to_string(&tty).expect("the terminal's name");
    let drawn = std::process::Command::new("stty").args(["-F", name.trim(), "cols", "90"]).status();
    assert!(drawn.expect("stty").success());
    session.send_line("h").expect("typed");
    session.exp_string("The number of the answer that fits best. Then Enter.").expect("at 90");
}

#[test]
fn columns_means_the_same_for_help_and_pages() {
    let state = tempfile::tempdir().expect("a folder");
    // The terminal has 40 columns; COLUMNS says otherwise, and counts.
    let mut shell = shell(&format!(
        "stty cols 40 rows 400; {PROGRAM} gauge --help; exec {PROGRAM} visits --state {}",
        state.path().display()
    ));
    shell.env("COLUMNS", "70");
    let mut session = at(shell);
    let seen = session.exp_eof().expect("it ends");
    let widest = |text: &str| text.lines().map(|line| line.trim_end().chars().count()).max();
    let (help, pages) = seen.split_once("--- Visits").expect("the page of visits");
    let widest_help = widest(help).expect("help");
    assert!((41..=70).contains(&widest_help), "{widest_help}");
    assert!(pages.lines().next().is_some_and(|rule| rule.len() > 40), "{pages}");
}

#[test]
fn enter_alone_answers_no_safety_question_in_an_arrow_key_list() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = start(folder.path(), &format!("--menu {}", conveyor()));
    let key = |session: &mut PtySession, key: &str, then: &str| {
        session.send(key).expect("typed");
        session.flush().expect("sent");
        session.exp_string(then).unwrap_or_else(|e| panic!("no {then:?} after {key:?}: {e}"));
    };
    let down = "\u{1b}[B";
    session.exp_string("(stop + save)").expect("a list");
    key(&mut session, "\r", "  Understood");
    key(&mut session, down, "> Understood");
    key(&mut session, "\r", "1 of 4");
    session.exp_string("(stop + save)").expect("a list");
    // Enter has answered nothing: the list is drawn again.
    key(&mut session, "\r", "(stop + save)");
    key(&mut session, down, "> No: nothing seen");
    key(&mut session, down, "> YES");
    key(&mut session, "\r", "--- STOP");
    session.exp_string("Glow or smoke: raise the alarm").expect("those of the first question");
    kill(session);
}

#[test]
fn the_program_alone_greets_and_begins_with_one_key() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut shell = shell(&format!("stty cols 40 rows 400; exec {PROGRAM}"));
    shell.env("STRAYBELT_STATE", folder.path());
    let mut session = at(shell);
    session.exp_string("Press a key").expect("the greeting");
    session.exp_string("m  measure").expect("its last line");
    session.send("m").expect("typed");
    session.flush().expect("sent");
    session.exp_string("Gauges: measurements worked out").expect("the list");
    session.exp_eof().expect("the end");
}
