//! A real terminal of 40 columns: answers, back, why, a kill in the middle, going on, Ctrl-C.

use std::path::Path;

use rexpect::session::{PtySession, spawn_command};

const PATIENCE_MS: u64 = 120_000;

fn start(state: &Path, arguments: &str) -> PtySession {
    start_with("diagnose", state, arguments)
}

fn start_with(command: &str, state: &Path, arguments: &str) -> PtySession {
    let mut shell = std::process::Command::new("sh");
    let program = env!("CARGO_BIN_EXE_straybelt");
    let state = state.display();
    shell
        .arg("-c")
        .arg(format!("stty cols 40 rows 24; exec {program} {command} --state {state} {arguments}"));
    shell.env_remove("COLUMNS").env("TERM", "xterm").env("NO_COLOR", "1");
    spawn_command(shell, Some(PATIENCE_MS)).expect("a terminal")
}

/// The same on a terminal that is painted.
fn painted(state: &Path, arguments: &str) -> PtySession {
    let mut shell = std::process::Command::new("sh");
    let program = env!("CARGO_BIN_EXE_straybelt");
    let state = state.display();
    shell
        .arg("-c")
        .arg(format!("stty cols 80 rows 24; exec {program} diagnose --state {state} {arguments}"));
    shell.env_remove("COLUMNS").env_remove("NO_COLOR").env("TERM", "xterm");
    spawn_command(shell, Some(PATIENCE_MS)).expect("a terminal")
}

/// Waits for the question, then types the reply.
fn reply(session: &mut PtySession, question: &str, reply: &str) {
    session.exp_string(question).unwrap_or_else(|e| panic!("no {question:?}: {e}"));
    session.exp_string("letter: ").unwrap_or_else(|e| panic!("no prompt after {question:?}: {e}"));
    session.send_line(reply).expect("typed");
}

fn conveyor() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    format!("--conveyor {}", root.join("examples/ostrel-quay/conveyors/OQ-04.ron").display())
}

/// Answers up to the first question of the book.
fn up_to_the_book(session: &mut PtySession) {
    reply(session, "Understood", "1");
    reply(session, "1 of 4", "1");
    reply(session, "2 of 4", "no");
    reply(session, "3 of 4", "N");
    reply(session, "4 of 4", "1");
    reply(session, "How far off?", "3");
}

#[test]
fn a_visit_survives_a_kill_and_ctrl_c() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start(state.path(), &conveyor());
    up_to_the_book(&mut session);
    reply(&mut session, "Question 1", "l");
    session.exp_string("How to look").expect("how to look");
    reply(&mut session, "Question 1", "1");
    reply(&mut session, "Question 2", "why");
    session.exp_string("Why this question").expect("why");
    session.exp_string("bring to the top").expect("what it could change");
    reply(&mut session, "Question 2", "4");
    reply(&mut session, "Question 3", "back");
    // Back at the second question its answer is open again.
    reply(&mut session, "Question 2", "nonsense");
    session.exp_string("is not known here").expect("the helpful line");
    session.send_line("5").expect("typed");
    session.exp_string("Question 3").expect("the third question");
    session.process_mut().kill(rexpect::process::Signal::SIGKILL).expect("killed");
    drop(session);

    let text = the_visit(state.path());
    assert!(text.contains("symptom: \"first-split\", answer: Some(\"one-place\")"), "{text}");
    assert!(text.contains("Back(steps: 1)"), "{text}");
    assert!(text.contains("symptom: \"where\", answer: Some(\"return-run\")"), "{text}");

    let mut session = start(state.path(), "--resume");
    reply(&mut session, "Understood", "1");
    session.exp_string("Going on with: Visit 1").expect("which visit");
    for question in 1..=4 {
        reply(&mut session, &format!("{question} of 4"), "1");
    }
    // Every answer is found again: it goes on with the third question.
    reply(&mut session, "Question 3", "2");
    session.exp_string("Question 4").expect("the fourth question");
    session.exp_string("letter: ").expect("its prompt");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("Saved as visit 1").expect("the farewell");
    session.exp_string("--resume 1").expect("how to go on");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
    let text = the_visit(state.path());
    for kept in [
        "stops: false",
        "EdgeRoom(answer: Some(",
        "symptom: \"first-split\", answer: Some(\"one-place\")",
        "symptom: \"where\", answer: Some(\"return-run\")",
        "symptom: \"strand\", answer: Some(\"return\")",
    ] {
        assert!(text.contains(kept), "{kept} is lost in\n{text}");
    }
    // Asked at the beginning, and again when it was taken up.
    assert_eq!(text.matches("StopAnswered(").count(), 8, "{text}");
}

#[test]
fn no_line_is_wider_than_the_screen_and_nothing_is_drawn_twice() {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start(state.path(), &conveyor());
    up_to_the_book(&mut session);
    reply(&mut session, "Question 1", "s");
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
        session.exp_string("Enter goes on").expect("it waits");
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
        session.exp_string("Enter goes on").expect("it waits");
        session.send_line("").expect("typed");
    }
    session.exp_string("Locked out").expect("as it was left");
    session.exp_string("letter: ").expect("its prompt");
    session.send_control('c').expect("Ctrl-C");
    session.exp_string("drill again 1").expect("how to go on");
    let status = session.process().wait().expect("it ends");
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
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
    let program = env!("CARGO_BIN_EXE_straybelt");
    let kept = state.path().join("visits");
    let mut shell = std::process::Command::new("sh");
    shell.arg("-c").arg(format!(
        "tty >{}; stty cols 40 rows 24; exec {program} diagnose --state {}",
        tty.display(),
        kept.display()
    ));
    shell.env_remove("COLUMNS").env("TERM", "xterm").env("NO_COLOR", "1");
    let mut session = spawn_command(shell, Some(PATIENCE_MS)).expect("a terminal");
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
    let mut shell = std::process::Command::new("sh");
    let program = env!("CARGO_BIN_EXE_straybelt");
    // The terminal has 40 columns; COLUMNS says otherwise, and counts.
    shell.arg("-c").arg(format!(
        "stty cols 40 rows 24; {program} gauge --help; exec {program} visits --state {}",
        state.path().display()
    ));
    shell.env("COLUMNS", "70").env("TERM", "xterm").env("NO_COLOR", "1");
    let mut session = spawn_command(shell, Some(PATIENCE_MS)).expect("a terminal");
    let seen = session.exp_eof().expect("it ends");
    let widest = |text: &str| text.lines().map(|line| line.trim_end().chars().count()).max();
    let (help, pages) = seen.split_once("--- Visits").expect("the page of visits");
    let widest_help = widest(help).expect("help");
    assert!((41..=70).contains(&widest_help), "{widest_help}");
    assert!(pages.lines().next().is_some_and(|rule| rule.len() > 40), "{pages}");
}
