//! Ctrl-C, a closed terminal, a request to end: say where the visit is kept, and go.
//!
//! Nothing has to be cleaned up, because every answer is on disk before the next question.

use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use super::reply::Lost;
use crate::exit::Exit;
use crate::stream;

static HEARD: AtomicBool = AtomicBool::new(false);

/// The words to part with, kept up to date while the visit goes on.
#[derive(Debug, Clone, Default)]
pub struct Farewell(Arc<Mutex<String>>);

impl Farewell {
    /// From now on these.
    pub fn set(&self, words: String) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = words;
    }

    fn get(&self) -> String {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// Hears Ctrl-C and requests to end from now on. The question that waits is given a moment to end by
/// itself; if it does not, the farewell is said here and the program ends as interrupted.
pub fn hear_signals(farewell: &Farewell) {
    let farewell = farewell.clone();
    // A second handler is refused; the first one does the same, so nothing is lost.
    let _ = ctrlc::set_handler(move || {
        if HEARD.swap(true, Ordering::SeqCst) {
            std::process::exit(Exit::Interrupted.code().into());
        }
        let farewell = farewell.clone();
        std::thread::spawn(move || {
            std::thread::sleep(Duration::from_millis(250));
            let _ = console_cursor_back();
            let _ = std::io::stderr().write_all(stream::painted(&farewell.get()).as_bytes());
            std::process::exit(Exit::Interrupted.code().into());
        });
    });
}

/// Whether a signal was heard.
pub(super) fn heard() -> bool {
    HEARD.load(Ordering::SeqCst)
}

/// How a question ended that could not be read to its end.
pub(super) fn lost() -> Lost {
    if heard() { Lost::Interrupted } else { Lost::EndOfInput }
}

/// An arrow-key menu hides the cursor while it waits.
fn console_cursor_back() -> std::io::Result<()> {
    use std::io::IsTerminal;
    let mut err = std::io::stderr();
    if err.is_terminal() { err.write_all(b"\x1b[?25h\n") } else { Ok(()) }
}
