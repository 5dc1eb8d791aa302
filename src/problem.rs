//! A problem of a text: its code, what is wrong in words, where, and what to do about it.

use serde::Serialize;

use crate::source::hint::Hint;
use crate::source::misread::{Misread, What};
use crate::source::slip::Slip;
use crate::source::{Place, Span, Texts, folder, hints};

/// No more problems than this are kept of one reading.
const MOST: usize = 1_000;

/// Something wrong with a text that a person wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Which kind of problem.
    pub code: Code,
    /// Whether the text cannot be used, or is merely doubtful.
    pub severity: Severity,
    /// What is wrong, in one line.
    pub message: String,
    /// Where; the first is the main place, others belong to it.
    pub labels: Vec<Label>,
    /// What to do about it; one line each.
    pub help: Vec<String>,
    /// Whether it keeps a file or an entry from being read as it stands, so that others may follow from it.
    pub comes_first: bool,
}

/// A place and what is said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub place: Place,
    /// What is there; may be empty.
    pub says: String,
}

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The text cannot be used.
    Error,
    /// It can be used; somebody should look at it.
    Warning,
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident $severity:ident $word:literal $says:literal;)*) => {
        /// The kinds of problems. Their words never change.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $(#[doc = $says] $name,)*
        }

        impl Code {
            /// All of them.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// The stable word for it.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }

            /// What it means, in one line.
            pub fn says(self) -> &'static str {
                match self { $(Self::$name => $says,)* }
            }

            /// How bad it is.
            pub fn severity(self) -> Severity {
                match self { $(Self::$name => Severity::$severity,)* }
            }
        }
    };
}

codes! {
    Unreadable Error "unreadable" "A file or folder cannot be read.";
    Encoding Error "encoding" "A file is not UTF-8.";
    TooLarge Error "too-large" "A file, or all files together, are larger than is read.";
    TooDeep Error "too-deep" "Brackets or folders are nested too deeply.";
    Syntax Error "syntax" "Brackets, quotes or commas are wrong, so the file cannot be read.";
    Shape Error "shape" "Something else is expected at this place.";
    UnknownField Error "unknown-field" "A field has a name that is not known here.";
    UnknownWord Error "unknown-word" "A word is not one of those that may stand here.";
    MissingField Error "missing-field" "A field that must be there is missing.";
    TwiceField Error "twice-field" "A field stands twice in one entry.";
    FileName Warning "file-name" "A file is not read, though its name looks as if it should be.";
    FolderAgain Warning "folder-again" "A link leads to a folder that is read already.";
    StrayFile Warning "stray-file" "A rule file lies where none is looked for.";
    NoEntries Error "no-entries" "A rule book lacks a part that it cannot do without.";
    Schema Error "schema" "The rule book is written for another version of this program.";
    BadId Error "bad-id" "An id holds other characters than a-z, 0-9 and -.";
    TwiceId Error "twice-id" "Two entries of the same kind have the same id.";
    UnknownId Error "unknown-id" "An id names nothing.";
    TwiceNamed Error "twice-named" "A list names the same thing twice.";
    NumberRange Error "number-range" "A number is not finite or out of range.";
    Chance Error "chance" "A likelihood is out of range.";
    RowSum Error "row-sum" "The likelihoods of one row do not fit together.";
    WrongKind Error "wrong-kind" "A sign does not fit the kind of its symptom.";
    SignAnswers Error "sign-answers" "The answers of a symptom do not fit its kind.";
    Relative Error "relative" "A voice relative to another symptom breaks a rule.";
    MarksNumber Error "marks-number" "Of several answers at once there are 2 to 4, no more.";
    Marks Error "marks" "Several answers at once break a rule of their kind.";
    Circle Error "circle" "Entries wait for each other in a circle.";
    FollowsFrom Error "follows-from" "An answer follows from what may itself wait for something.";
    FactValue Error "fact-value" "A condition asks for a fact or value that no conveyor has.";
    Control Error "control" "A text holds a control character.";
    Placeholder Error "placeholder" "A text holds a placeholder that is not known.";
    EmptyText Error "empty-text" "A text that must say something is empty.";
    LongText Warning "long-text" "A text is longer than fits a small screen.";
    RawSide Warning "raw-side" "A text says left or right itself instead of {left} or {right}.";
    NoHazard Error "no-hazard" "The book warns nowhere of a hazard that every book must warn of.";
    Needed Error "needed" "What is switched off has a part that the program cannot do without.";
    SafetyCaution Error "safety-caution" "A site changes a safety caution, or lets a hand tool near a moving belt.";
    MovesBelt Error "moves-belt" "A step moves the belt in the middle of work by hand.";
    NoCheck Error "no-check" "A long fix does not begin with a check that can call for it.";
    CheckMinutes Error "check-minutes" "The checks of a fix take longer than the whole fix.";
    ToolName Warning "tool-name" "A tool has another name in the book, or is used and not listed.";
    NoDoneWhen Error "no-done-when" "A fix does not say when it is done.";
    NoMark Error "no-mark" "Something is moved before its old position is marked.";
    RunningFix Error "running-fix" "A fix or look on a running machine touches or moves something.";
    LookState Error "look-state" "A look shows a symptom of another state of the machine.";
    TwoLooks Error "two-looks" "A symptom is in two looks.";
    NoLook Warning "no-look" "A symptom is in no look, though the book has looks.";
    IdleLook Error "idle-look" "A look shows nothing.";
    NoFix Warning "no-fix" "No fix cures this cause.";
    NoCure Error "no-cure" "A fix cures nothing.";
    SilentCause Warning "silent-cause" "No answer can make this cause more likely.";
    IdleSymptom Warning "idle-symptom" "No cause has a sign on this symptom.";
    Unreachable Warning "unreachable" "Conditions that can never all hold.";
    PriorOn Error "prior-on" "How common a cause is on some conveyors hangs on an answer, or on nothing.";
    PriorSum Warning "prior-sum" "The causes are too common all together.";
    AtMost Error "at-most" "More causes at once are asked for than can be reckoned with in this book.";
    MassLeftOut Warning "mass-left-out" "Too many causes at once are too likely.";
    GiveUp Warning "give-up" "Giving up is too cheap against the longest work.";
    Group Warning "group" "A group holds a single symptom.";
    UnlikeGroup Error "unlike-group" "A group holds questions that do not ask the same.";
    SameName Error "same-name" "Two entries that people tell apart by their words have the same words.";
    SameAnswers Error "same-answers" "Two answers to one question have the same words.";
    Itself Error "itself" "An entry names itself where another one is meant.";
    NoVoice Warning "no-voice" "A cause says nothing on the questions that part the whole book.";
    MovingBelt Warning "moving-belt" "Words advise putting a hand to a belt that moves.";
    NoFingerprint Warning "no-fingerprint" "A change does not note what it was written against.";
    Moved Warning "moved" "What a change was written against has changed.";
    Contradiction Error "contradiction" "Two facts of a conveyor contradict each other.";
    Gauge Error "gauge" "A gauge is named that there is not, or its words do not fit the answers.";
    AnswerMeans Error "answer-means" "What an answer means does not fit what its question stands for.";
    NoMeaning Warning "no-meaning" "Nothing in the book stands for what a drawing shows or a drill needs.";
    Quantity Error "quantity" "A size cannot be read, or is out of reason.";
    UnknownFact Warning "unknown-fact" "A conveyor file holds a key that nothing asks for.";
    DrillRunsTrue Warning "drill-runs-true" "What a drill hides does not show: its belt runs true from the start.";
    DrillCause Warning "drill-cause" "What a drill hides is not what its cause stands for in drills.";
    DrillShows Warning "drill-shows" "A drill shows another answer than its own belt and parts give.";
    DrillCure Warning "drill-cure" "A drill lets a fix take a cause away that it does not cure by the book.";
    DrillGrade Warning "drill-grade" "A drill's grade does not fit how many causes it hides.";
    TooMany Warning "too-many" "There are more problems than are shown.";
}

/// Problems of one reading, gathered.
#[derive(Debug, Default)]
pub struct Report {
    found: Vec<Problem>,
    more: usize,
    followers: usize,
}

/// Everything that is wrong, in the order of the files; at least one is an error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl Problem {
    /// A problem at one place.
    pub fn at(code: Code, place: Place, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: code.severity(),
            message: message.into(),
            labels: vec![Label { place, says: String::new() }],
            help: Vec::new(),
            comes_first: false,
        }
    }

    fn first(self) -> Self {
        Self { comes_first: true, ..self }
    }

    /// With words beside the main place.
    #[must_use]
    pub fn says(mut self, says: impl Into<String>) -> Self {
        if let Some(first) = self.labels.first_mut() {
            first.says = says.into();
        }
        self
    }

    /// With another place that belongs to it.
    #[must_use]
    pub fn also(mut self, place: Place, says: impl Into<String>) -> Self {
        self.labels.push(Label { place, says: says.into() });
        self
    }

    /// With something to do about it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help.push(help.into());
        self
    }

    /// Whether the text cannot be used.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// A text that does not have the shape it should have.
    pub fn misread(texts: &Texts, misread: &Misread) -> Self {
        let place = texts.place(misread.span);
        let message = misread.what.to_string();
        match &misread.what {
            What::UnknownField(found, known) => near(
                Self::at(Code::UnknownField, place, message),
                found,
                known.iter().copied(),
                "fields here",
            ),
            What::UnknownWord(found, known) => near(
                Self::at(Code::UnknownWord, place, message),
                found,
                known.iter().copied(),
                "words here",
            ),
            What::MissingField(field) => Self::at(Code::MissingField, place, message)
                .says("in this entry")
                .help(format!("write `{field}: ...,` between the brackets")),
            What::TwiceField(_) => {
                Self::at(Code::TwiceField, place, message).help("keep one of them")
            }
            What::TooDeep => Self::at(Code::TooDeep, place, message).help(
                "rule files need some ten brackets inside each other: is a closing one missing?",
            ),
            What::Expected(_) => Self::at(Code::Shape, place, message),
            What::Syntax(_) => Self::at(Code::Syntax, place, message),
        }
    }

    /// A whole file that cannot be read as it should, with guesses at why.
    pub fn refused_text(texts: &Texts, misread: &Misread) -> Self {
        let file = misread.span.file;
        let problem = Self::misread(texts, misread);
        let guesses = hints::hints(texts.text(file));
        problem.guessed(texts, misread, Span::new(file, 0, 0), guesses)
    }

    /// Something that is wrong with the shape of a text.
    pub fn slip(texts: &Texts, slip: &Slip) -> Self {
        let problem = match slip {
            Slip::File(misread) => Self::misread(texts, misread),
            // Brackets, quotes and commas are in order; so something of another shape stands here.
            Slip::Entry(misread) => match Self::misread(texts, misread) {
                problem if problem.code == Code::Syntax => Self { code: Code::Shape, ..problem },
                problem => problem,
            },
            Slip::Guess { places, also, more } => {
                let mut places = places.iter();
                let (at, says) = places
                    .next()
                    .map_or((Place::file(""), ""), |(at, says)| (texts.place(*at), says.as_str()));
                let mut problem = Self::at(Code::Syntax, at, says);
                if let Some((at, says)) = also {
                    problem = problem.says("opened here").also(texts.place(*at), says);
                }
                for (at, _) in places {
                    problem = problem.also(texts.place(*at), "here too");
                }
                match more {
                    0 => problem,
                    more => problem.help(format!("there are {more} more of them in this file")),
                }
            }
        };
        problem.first()
    }

    /// With a guess in front of ron's own words. The places of guesses count from `within`.
    fn guessed(self, texts: &Texts, misread: &Misread, within: Span, guesses: Vec<Hint>) -> Self {
        let mut guesses = guesses.into_iter();
        let Some(first) = guesses.next().filter(|_| misread.what != What::TooDeep) else {
            return self;
        };
        let from = within.start as usize;
        let place =
            |at: (usize, usize)| texts.place(Span::new(within.file, from + at.0, from + at.1));
        let mut problem = Self::at(Code::Syntax, place(first.at), first.says);
        if let Some((at, says)) = first.also {
            problem = problem.says("opened here").also(place(at), says);
        }
        for guess in guesses {
            problem = problem.also(place(guess.at), guess.says);
        }
        match self.labels.into_iter().next() {
            Some(label) if problem.labels.iter().all(|known| known.place != label.place) => {
                problem.help(format!("reading stopped at {}: {}", label.place, self.message))
            }
            _ => problem,
        }
    }

    /// A file or folder that cannot be read at all.
    pub fn refused_file(refused: &folder::Refused) -> Self {
        use folder::Why;
        let place = refused.place.clone();
        let problem = match &refused.why {
            Why::System(words) => {
                Self::at(Code::Unreadable, place, format!("cannot be read: {words}"))
                    .help("check the name, and whether you may read it")
            }
            Why::Large => Self::at(Code::TooLarge, place, "the file is larger than 4 MB")
                .help("split it into several files"),
            Why::TooMuch => Self::at(
                Code::TooLarge,
                place,
                "the folder holds more than 64 MB or 20000 files of rules",
            )
            .help("is this the right folder?"),
            Why::Utf16 => Self::at(Code::Encoding, place, "the file is UTF-16, not UTF-8")
                .help("save it as UTF-8 in your editor; some call it \"Unicode\" and mean UTF-16"),
            Why::Encoding => Self::at(Code::Encoding, place, "the file is not UTF-8 from here on")
                .help("save it as UTF-8 in your editor"),
            Why::Deep => Self::at(Code::TooDeep, place, "folders are nested more than 12 deep"),
        };
        problem.first()
    }

    fn main_place(&self) -> Option<&Place> {
        self.labels.first().map(|label| &label.place)
    }
}

impl Report {
    /// Adds a problem.
    pub fn add(&mut self, problem: Problem) {
        if self.found.len() < MOST {
            self.found.push(problem);
        } else {
            self.more += 1;
            // An error must not be lost behind a thousand warnings.
            if problem.is_error()
                && let Some(warning) = self.found.iter_mut().rev().find(|known| !known.is_error())
            {
                *warning = problem;
            }
        }
    }

    /// Whether anything so far makes the text unusable.
    pub fn has_errors(&self) -> bool {
        self.found.iter().any(Problem::is_error)
    }

    /// Counts something that only follows from what is told of already.
    pub fn follows(&mut self) {
        self.followers += 1;
    }

    /// How many such there were.
    pub fn followers(&self) -> usize {
        self.followers
    }

    /// Takes out what need not be told.
    pub fn retain(&mut self, keep: impl FnMut(&Problem) -> bool) -> usize {
        let before = self.found.len();
        self.found.retain(keep);
        before - self.found.len()
    }

    /// All problems in the order of files and places; those first that keep a file or an entry from being read, since
    /// others may follow from them.
    pub fn sorted(self) -> Vec<Problem> {
        let mut problems = self.found;
        problems.sort_by(|one, two| {
            let key = |problem: &Problem| !problem.comes_first;
            (key(one), one.main_place()).cmp(&(key(two), two.main_place()))
        });
        if self.more > 0
            && let Some(place) = problems.last().and_then(Problem::main_place).cloned()
        {
            let message = format!("{} more problems are not shown", self.more);
            problems.push(
                Problem::at(Code::TooMany, Place::file(place.file), message)
                    .help("mend the first ones and check again"),
            );
        }
        problems
    }
}

/// The plural of one of our words.
pub fn plural(word: &str) -> String {
    format!("{word}{}", if word.ends_with('x') { "es" } else { "s" })
}

/// `1 fix`, `2 fixes`.
pub fn count(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {}", plural(word)) }
}

/// The known name nearest to `found`, if one is near enough to have been meant.
pub fn nearest<'n>(found: &str, known: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let near_enough = 1.max(found.chars().count() / 3);
    known
        .into_iter()
        .map(|name| (strsim::osa_distance(&found.to_lowercase(), &name.to_lowercase()), name))
        .filter(|(distance, name)| {
            *distance <= near_enough || (found.len() > 3 && name.contains(found))
        })
        .min_by_key(|(distance, name)| (*distance, name.len()))
        .map(|(_, name)| name)
}

/// Adds "did you mean", or what may stand there when it is little.
pub fn near<'n>(
    problem: Problem,
    found: &str,
    known: impl IntoIterator<Item = &'n str>,
    what: &str,
) -> Problem {
    let known: Vec<&str> = known.into_iter().collect();
    let problem = match nearest(found, known.iter().copied()) {
        Some(name) => problem.help(format!("did you mean `{name}`?")),
        None => problem,
    };
    if known.is_empty() || known.len() > 24 {
        problem
    } else {
        problem.help(format!("{what}: {}", known.join(", ")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn codes_are_unique_and_say_what_they_mean() {
        let words: BTreeSet<_> = Code::ALL.iter().map(|code| code.word()).collect();
        let says: BTreeSet<_> = Code::ALL.iter().map(|code| code.says()).collect();
        assert_eq!((words.len(), says.len()), (Code::ALL.len(), Code::ALL.len()));
        assert!(words.iter().all(|word| word.chars().all(|c| c.is_ascii_lowercase() || c == '-')));
        assert!(says.iter().all(|says| says.ends_with('.') && says.len() < 90));
    }

    #[test]
    fn a_slip_is_matched_and_a_stranger_is_not() {
        assert_eq!(
            nearest("idler-buildup", ["idler-build-up", "pulley-build-up"]),
            Some("idler-build-up")
        );
        assert_eq!(
            nearest("build-up", ["idler-build-up", "pulley-build-up"]),
            Some("idler-build-up")
        );
        assert_eq!(nearest("often", ["Often", "Never"]), Some("Often"));
        assert_eq!(nearest("quux", ["Often", "Never"]), None);
    }

    #[test]
    fn errors_are_kept_when_there_are_too_many_warnings() {
        let mut texts = Texts::default();
        let file = texts.add("a.ron", "x");
        let span = Span::new(file, 0, 1);
        let mut report = Report::default();
        for _ in 0..MOST + 5 {
            report.add(Problem::at(Code::LongText, texts.place(span), "long"));
        }
        report.add(Problem::at(Code::Syntax, texts.place(span), "bad"));
        assert!(report.has_errors());
        assert_eq!(report.sorted().len(), MOST + 1);
    }
}
