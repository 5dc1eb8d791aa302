//! The program at plain lines, answered one question at a time.

use std::io::{Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

/// What stands at the end of the output when a reply is waited for.
const PROMPTS: [&str; 9] = [
    "letter: ",
    "In a word: ",
    "\nName: ",
    "\nSide: ",
    "go on: ",
    "?: ",
    " mm: ",
    "(1 to 200)?: ",
    "Letter: ",
];

/// The program while it runs.
pub struct Sitting {
    child: Child,
    input: ChildStdin,
    output: ChildStdout,
    /// Everything it has printed so far.
    pub seen: String,
}

impl Sitting {
    /// Starts it on a screen of so many columns, and waits for its first question.
    pub fn begin(columns: usize, arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(arguments)
            .env("COLUMNS", columns.to_string())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let input = child.stdin.take().expect("its input");
        let output = child.stdout.take().expect("its output");
        let mut sitting = Self { child, input, output, seen: String::new() };
        sitting.read_to_prompt();
        sitting
    }

    /// Types a line, and waits for the next question. What was typed is kept with what was seen.
    pub fn reply(&mut self, line: &str) {
        writeln!(self.input, "{line}").expect("typed");
        self.seen.push_str(&format!("[{line}]\n"));
        self.read_to_prompt();
    }

    /// Types a line, and waits for nothing.
    pub fn send(&mut self, line: &str) {
        // Whoever has gone reads nothing more.
        let _ = writeln!(self.input, "{line}");
    }

    /// Chooses the answer that holds these words, leafing on where the list has more.
    pub fn choose(&mut self, words: &str) {
        loop {
            let from = self.seen.rfind("\n---").unwrap_or(0);
            let page = self.seen[from..].to_owned();
            match numbered(&page).iter().find(|(_, text)| text.contains(words)) {
                Some((number, _)) => return self.reply(&number.to_string()),
                None => {
                    let more = numbered(&page);
                    let more = more.iter().find(|(_, text)| text.starts_with("More ("));
                    let (number, _) = more.unwrap_or_else(|| panic!("no {words:?} in {page}"));
                    self.reply(&number.to_string());
                }
            }
        }
    }

    /// Reads on until a reply is waited for, or it ends.
    fn read_to_prompt(&mut self) {
        let mut piece = [0; 4096];
        loop {
            let n = self.output.read(&mut piece).expect("output");
            self.seen.push_str(&String::from_utf8_lossy(&piece[..n]));
            if n == 0 || PROMPTS.iter().any(|prompt| self.seen.ends_with(prompt)) {
                return;
            }
        }
    }

    /// Kills it as a power cut would.
    pub fn kill(mut self) {
        self.child.kill().expect("killed");
        self.child.wait().expect("ended");
    }

    /// Closes the input, and says what was seen, what stands on standard error, and the exit code.
    pub fn close(mut self) -> (String, String, Option<i32>) {
        drop(self.input);
        self.output.read_to_string(&mut self.seen).expect("output");
        let ended = self.child.wait_with_output().expect("it ends");
        let errors = String::from_utf8_lossy(&ended.stderr).into_owned();
        (self.seen, errors, ended.status.code())
    }

    /// The same, lines run together: where they are broken does not matter then.
    pub fn end(self) -> (String, String, Option<i32>) {
        let on_one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (seen, errors, code) = self.close();
        (on_one_line(&seen), on_one_line(&errors), code)
    }
}

/// The answers of a page: number and words, further lines joined on.
fn numbered(page: &str) -> Vec<(usize, String)> {
    let mut found: Vec<(usize, String)> = Vec::new();
    for line in page.lines() {
        let number = line.get(..2).and_then(|number| number.trim().parse().ok());
        match (number, line.get(2..4), found.last_mut()) {
            (Some(number), Some("  "), _) => found.push((number, line[4..].trim().to_owned())),
            (None, _, Some((_, text))) if line.starts_with("    ") => {
                text.push(' ');
                text.push_str(line.trim());
            }
            _ => {}
        }
    }
    found
}
