//! The grammar of a tick list: what is there by its numbers, "?2" for what cannot be told, 0 for none.

/// So many lines has a tick list at most.
pub const MOST_LINES: usize = 9;

/// What was ticked in a list, by its lines from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Ticks {
    there: u16,
    cant_tell: u16,
}

impl Ticks {
    /// Whether a line is there.
    pub fn is_there(self, line: usize) -> bool {
        self.there & bit(line) != 0
    }

    /// Whether a line cannot be told.
    pub fn is_untold(self, line: usize) -> bool {
        self.cant_tell & bit(line) != 0
    }

    /// These lines are there, in order.
    pub fn of(lines: impl IntoIterator<Item = bool>) -> Self {
        let there = lines.into_iter().enumerate().filter(|(_, there)| *there);
        Self { there: there.fold(0, |all, (line, _)| all | bit(line)), cant_tell: 0 }
    }

    /// Nothing of a list can be told.
    pub fn nothing_told(lines: usize) -> Self {
        Self { there: 0, cant_tell: (0..lines).map(bit).fold(0, |all, line| all | line) }
    }
}

fn bit(line: usize) -> u16 {
    u32::try_from(line).ok().and_then(|line| 1_u16.checked_shl(line)).unwrap_or(0)
}

/// What is wrong with a line of ticks, in words.
pub type Wrong = String;

/// Reads the ticks of a list of so many lines. Nothing where the text is no list of numbers: a key, perhaps.
///
/// # Errors
/// A number that is none of the list's, or two that contradict each other.
pub fn read(typed: &str, lines: usize) -> Option<Result<Ticks, Wrong>> {
    let words = typed.split(|c: char| c.is_whitespace() || [',', ';', '+'].contains(&c));
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let marks: Option<Vec<(usize, bool)>> = words.iter().map(|word| mark(word)).collect();
    marks.filter(|marks| !marks.is_empty()).map(|marks| ticks(&marks, lines))
}

/// A number, and whether it stands with a question mark.
fn mark(word: &str) -> Option<(usize, bool)> {
    let bare = word.trim_start_matches('?').trim_end_matches(['?', '.', ')']);
    let number = bare.parse().ok()?;
    Some((number, word.contains('?')))
}

fn ticks(marks: &[(usize, bool)], lines: usize) -> Result<Ticks, Wrong> {
    let mut ticks = Ticks::default();
    let mut none = false;
    for &(number, untold) in marks {
        if number == 0 {
            none = true;
            continue;
        }
        if number > lines {
            return Err(format!("There is no line {number} here."));
        }
        let line = bit(number - 1);
        if (ticks.there | ticks.cant_tell) & line != 0 {
            return Err(match (ticks.cant_tell & line != 0) == untold {
                true => format!("{number} is there twice."),
                false => {
                    format!("{number} is ticked and marked can't tell. Choose one of the two.")
                }
            });
        }
        if untold {
            ticks.cant_tell |= line;
        } else {
            ticks.there |= line;
        }
    }
    if none && ticks.there != 0 {
        return Err("0 means none of these, but others are ticked.".to_owned());
    }
    Ok(ticks)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(typed: &str) -> (Vec<usize>, Vec<usize>) {
        let ticks = read(typed, 4).unwrap().unwrap();
        let lines = |is: &dyn Fn(usize) -> bool| (0..16).filter(|line| is(*line)).collect();
        (lines(&|line| ticks.is_there(line)), lines(&|line| ticks.is_untold(line)))
    }

    #[test]
    fn what_is_there_and_what_cannot_be_told() {
        assert_eq!(told("1 3"), (vec![0, 2], vec![]));
        assert_eq!(told("3,1"), (vec![0, 2], vec![]));
        assert_eq!(told("0"), (vec![], vec![]));
        assert_eq!(told("1 ?2"), (vec![0], vec![1]));
        assert_eq!(told("2? 4"), (vec![3], vec![1]));
        assert_eq!(told("0 ?2"), (vec![], vec![1]), "none of those that can be told");
        let nothing = Ticks::nothing_told(4);
        assert!((0..4).all(|line| nothing.is_untold(line)) && !nothing.is_untold(4));
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (typed, wrong) in [
            ("5", "no line 5"),
            ("1 1", "1 is there twice"),
            ("?2 2", "one of the two"),
            ("0 2", "0 means none of these"),
        ] {
            let said = read(typed, 4).unwrap().unwrap_err();
            assert!(said.contains(wrong), "{typed}: {said}");
        }
    }

    #[test]
    fn keys_and_words_are_no_ticks() {
        for typed in ["", "b", "b 3", "why", "1 x", "none", "?", "-1", "99999999999999999999"] {
            assert_eq!(read(typed, 4), None, "{typed}");
        }
    }
}
