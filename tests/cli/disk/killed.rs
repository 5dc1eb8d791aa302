//! Kills at random moments: a document is the old one or the new one, and no move of a drill that was acknowledged is
//! lost. Visits are killed in `tests/cli/crash.rs`.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};
use std::time::Duration;

use super::{find, names};
use crate::support::sitting::Sitting;
use crate::support::{Random, long};

/// Kills of a command that replaces a document; more in the long run.
const KILLS: usize = 60;
const KILLS_LONG: usize = 1_000;
/// The kill comes up to two to this power microseconds after the start, short waits as often as long ones.
const LONGEST_WAIT_POWER: u64 = 19;

#[test]
fn a_kill_leaves_the_old_document_or_the_new_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book");
    let write = |format: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
        command.args(["rules", "print", "--whole", "--force", "--format", format, "-o"]).arg(&path);
        command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
    };
    let written = |format| {
        assert!(write(format).wait().unwrap().success());
        fs::read(&path).unwrap()
    };
    let wholes = [written("html"), written("text")];
    assert!(wholes[0] != wholes[1]);
    let mut random = Random(0x5eed);
    let mut seen = [0, 0];
    let mut began = wholes[1].clone();
    for kill in 0..if long() { KILLS_LONG } else { KILLS } {
        let wanted = usize::from(began == wholes[0]);
        let mut child = write(["html", "text"][wanted]);
        let longest = 1 << (10 + random.below(LONGEST_WAIT_POWER - 9));
        std::thread::sleep(Duration::from_micros(random.below(longest)));
        child.kill().unwrap();
        let ended = child.wait().unwrap();
        let now = fs::read(&path).unwrap();
        let which = wholes.iter().position(|whole| *whole == now);
        let which = which.unwrap_or_else(|| panic!("kill {kill}: {} bytes of neither", now.len()));
        seen[usize::from(which == wanted)] += 1;
        assert!(!ended.success() || which == wanted, "kill {kill}: it said that it was written");
        for left in names(folder.path()).iter().filter(|name| *name != "book") {
            // What a kill left beside it is nobody else's to read, but for one that was about to take the place.
            assert!(left.starts_with(".book.") && left.ends_with(".new"), "{left}");
            let path = folder.path().join(left);
            let private = fs::metadata(&path).unwrap().permissions().mode() & 0o777 == 0o600;
            let text = fs::read(&path).unwrap();
            assert!(private || text.is_empty() || wholes.contains(&text), "{left}");
        }
        began = now;
    }
    assert!(seen[0] > 0, "some kills came before the new document was in its place: {seen:?}");
}

/// Kills in the middle of a run of a drill; more in the long run.
const RUN_KILLS: usize = 8;
/// One life gets at most so many replies.
const MOST_REPLIES: u64 = 6;

#[test]
fn no_acknowledged_move_of_a_drill_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().display().to_string();
    let mut random = Random(0xd411);
    let mut relied_on = 0;
    let mut kills = 0;
    while kills < if long() { KILLS_LONG } else { RUN_KILLS } {
        // A run lives through several kills; replaying it takes longer with each move.
        let fresh = kills % 8 == 0;
        if fresh {
            let _ = fs::remove_dir_all(folder.path().join("runs"));
            relied_on = 0;
        }
        let words: &[&str] = match fresh {
            true => &["drill", "run", "crooked-splice", "--plain"],
            false => &["drill", "again", "1", "--plain"],
        };
        let mut sitting = Sitting::begin(200, &[words, &["--state", &state]].concat());
        let mut moves = 0;
        for _ in 0..=3 + random.below(MOST_REPLIES) {
            match sitting.seen.ends_with("go on: ") {
                true => sitting.reply(""),
                false => {
                    // Locked out and given back by turns.
                    sitting.reply("7");
                    moves += 1;
                }
            }
        }
        let page = sitting.seen.ends_with("go on: ");
        sitting.send(if page { "" } else { "7" });
        let longest = 1 << random.below(16);
        std::thread::sleep(Duration::from_micros(random.below(longest)));
        sitting.kill();
        kills += 1;
        relied_on += moves;
        let file = find(folder.path(), "0001.ron").pop().expect("a run");
        let text = fs::read_to_string(file).unwrap();
        let kept = text.matches("what: LockOut").count() + text.matches("what: Restore").count();
        let possible = relied_on + usize::from(!page);
        assert!(
            (relied_on..=possible).contains(&kept),
            "kill {kills}: {kept} of {relied_on}\n{text}"
        );
        relied_on = kept;
        assert!(text.contains("// SHA-256"), "kill {kills}: {text}");
    }
}
