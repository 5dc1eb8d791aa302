//! Words that depend on this conveyor and these answers: the names of sides, strands and directions.

use super::amounts::Amounts;
use super::suspicion::{BeltRun, SideKnown};
use crate::conveyor::facts::Facts;
use crate::reason::Outcome;
use crate::rulebook::index::{AnswerAt, List, SymptomAt};
use crate::rulebook::model::{Answer, Book, End, Meaning};
use crate::trade::{Side, Strand};
use crate::visit::{Means, Observations};

/// What the two sides are called, in capitals. Physical sides, looking from tail to head; they never swap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    /// The left side.
    pub left: String,
    /// The right side.
    pub right: String,
}

impl Sides {
    /// The site's own names, or LEFT and RIGHT where it has none.
    pub fn named(left: Option<&str>, right: Option<&str>) -> Self {
        let name = |name: Option<&str>, plain: &str| match name.map(str::trim) {
            Some(name) if !name.is_empty() => name.to_uppercase(),
            _ => plain.to_owned(),
        };
        Self { left: name(left, "LEFT"), right: name(right, "RIGHT") }
    }

    /// What a side is called.
    pub fn of(&self, side: Side) -> &str {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    /// A text with `{left}` and `{right}` filled in.
    pub fn fill(&self, text: &str) -> String {
        text.replace("{left}", &self.left).replace("{right}", &self.right)
    }

    /// How the names relate to left and right; nothing when they are just these.
    pub fn legend(&self) -> Option<String> {
        (self.left != "LEFT" || self.right != "RIGHT").then(|| {
            format!(
                "Looking from tail to head, {} is on the left, {} on the right.",
                self.left, self.right
            )
        })
    }
}

impl Strand {
    /// Where it travels.
    pub fn way(self) -> &'static str {
        match self {
            Self::Carry => "toward the head",
            Self::Return => "toward the tail",
        }
    }

    /// Where it does not.
    pub fn against(self) -> &'static str {
        match self {
            Self::Carry => "toward the tail",
            Self::Return => "toward the head",
        }
    }
}

/// What is known of sides and strand at this point of a visit, for words to be filled in.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    book: &'a Book,
    facts: &'a Facts,
    sides: &'a Sides,
    answers: &'a List<SymptomAt, Option<AnswerAt>>,
    amounts: Option<&'a Amounts>,
    means: Option<&'a Means>,
    runs_differently: bool,
}

impl<'a> Known<'a> {
    /// `answers` are those that count, as in a finding.
    pub fn new(
        book: &'a Book,
        facts: &'a Facts,
        sides: &'a Sides,
        answers: &'a List<SymptomAt, Option<AnswerAt>>,
    ) -> Self {
        Self { book, facts, sides, answers, amounts: None, means: None, runs_differently: false }
    }

    /// The same, with what was measured.
    #[must_use]
    pub fn with_amounts(self, amounts: &'a Amounts) -> Self {
        Self { amounts: Some(amounts), ..self }
    }

    /// The same; when the belt has run differently since it was last seen which side it runs to, that is no
    /// longer told: it may run to the other one now, and a step that names the old one would send somebody the
    /// wrong way.
    #[must_use]
    pub fn after(self, told: &'a Observations) -> Self {
        let differs = |outcome: &Outcome| *outcome != Outcome::NoChange;
        let seen = self.book.roles.belt_side.map_or(0, |symptom| told.answered_after(symptom));
        let runs_differently = told.outcomes.iter().skip(seen).any(differs);
        Self { runs_differently, means: Some(&told.means), ..self }
    }

    /// What was measured with a gauge, line by line.
    pub fn amounts(&self, gauge: &str) -> &'a [String] {
        self.amounts.map_or(&[], |amounts| amounts.lines(gauge))
    }

    /// Whether a text names a limit that the site has set itself.
    pub fn has_own_limit(&self, text: &str) -> bool {
        match self.amounts {
            Some(amounts) => amounts.has_own_limit(text),
            None => Amounts::by_rules(self.book).has_own_limit(text),
        }
    }

    /// Whether the person has said that a tool is not at hand.
    pub fn is_missing(&self, tool: &str) -> bool {
        self.means.is_some_and(|means| means.lacks(self.book, tool))
    }

    /// What is known of the conveyor.
    pub fn facts(&self) -> &'a Facts {
        self.facts
    }

    /// The rule book.
    pub fn book(&self) -> &'a Book {
        self.book
    }

    /// What the sides are called.
    pub fn sides(&self) -> &'a Sides {
        self.sides
    }

    /// The side the belt runs to, if it is one.
    pub fn belt_side(&self) -> Option<Side> {
        if self.runs_differently {
            return None;
        }
        self.side(self.book.roles.belt_side)
    }

    /// Whether it was told which side the belt runs to, be it one or none.
    pub fn belt_side_asked(&self) -> bool {
        !self.runs_differently && self.answer(self.book.roles.belt_side).is_some()
    }

    /// The strand it is worst on, if it is one: as it was told, else the one on which the worst place lies.
    pub fn strand(&self) -> Option<Strand> {
        match self.meaning(self.book.roles.strand) {
            Some(Meaning::Carry) => Some(Strand::Carry),
            Some(Meaning::Return) => Some(Strand::Return),
            Some(_) => None,
            None => self.strand_of_place(),
        }
    }

    /// The strand on which the worst place lies; nothing of a pulley, where both meet.
    pub fn strand_of_place(&self) -> Option<Strand> {
        match self.place()? {
            Meaning::CarryRun | Meaning::LoadZone => Some(Strand::Carry),
            Meaning::ReturnRun => Some(Strand::Return),
            _ => None,
        }
    }

    /// Where along the conveyor it is worst: one of [`Meaning::PLACES`].
    pub fn place(&self) -> Option<Meaning> {
        self.meaning(self.book.roles.place)
    }

    /// All of the belt at one place, or one part of the belt: one of [`Meaning::FIRST_SPLIT`].
    pub fn first_split(&self) -> Option<Meaning> {
        self.meaning(self.book.roles.first_split)
    }

    /// Whether the belt runs both ways, if known.
    pub fn reversing(&self) -> Option<bool> {
        self.facts.reversing()
    }

    fn belt_run(&self) -> BeltRun {
        BeltRun {
            side: self.belt_side(),
            strand: self.strand(),
            place: self.place(),
            first_split: self.first_split(),
            troughed: self.facts.troughed(),
        }
    }

    /// Which side an end is on, if the answers tell: measured there first, else by where the belt runs.
    pub fn end(&self, end: End) -> Option<Side> {
        self.end_known(end).map(SideKnown::side)
    }

    /// The same, with how it is known. Measured and no side found ("square", "level") is no side.
    pub fn end_known(&self, end: End) -> Option<SideKnown> {
        let roles = &self.book.roles;
        let (symptom, other) = match end {
            End::BeltSide => return self.belt_side().map(SideKnown::Measured),
            End::FarSide => return self.belt_side().map(|side| SideKnown::Measured(side.other())),
            End::SlackSide => (roles.slack_side, false),
            End::TightSide => (roles.slack_side, true),
            End::LowFrameSide => (roles.low_frame_side, false),
            End::LowPulleySide => (roles.low_pulley_side, false),
            End::LowIdlerSide => (roles.low_idler_side, false),
            End::LeadingEnd => (roles.leading_end, false),
            End::LaggingEnd => (roles.leading_end, true),
            End::ShortPulleySide => (roles.short_pulley_side, false),
            End::LongPulleySide => (roles.short_pulley_side, true),
            End::LeadingSnubEnd => (roles.leading_snub_end, false),
        };
        if self.answer(symptom).is_some() {
            let measured = self.side(symptom).map(SideKnown::Measured);
            return measured.map(|side| if other { side.other() } else { side });
        }
        self.belt_run().suspects(end).map(SideKnown::Suspected)
    }

    /// Which way the end of an end pulley goes toward the other end pulley, if it is told at which pulley the belt is off.
    pub fn toward_other_pulley(&self) -> Option<&'static str> {
        match self.place()? {
            Meaning::Tail | Meaning::LoadZone => Some(Strand::Carry.way()),
            Meaning::Head => Some(Strand::Return.way()),
            _ => None,
        }
    }

    /// "the WALKWAY end", or words that hold without knowing the side.
    pub fn end_words(&self, end: End) -> String {
        self.end_of_side(end, self.end(end))
    }

    /// The same with the side that is known of it.
    pub fn end_of_side(&self, end: End, side: Option<Side>) -> String {
        match side {
            Some(side) => format!("the {} end", self.sides.of(side)),
            None => match end {
                End::BeltSide => "the end on the side the belt has run to",
                End::FarSide => "the end on the side away from the belt",
                End::SlackSide => "the end on the slack side",
                End::TightSide => "the end on the tight side",
                End::LowFrameSide | End::LowPulleySide | End::LowIdlerSide => "the low end",
                End::LeadingEnd => "the end that the belt meets first",
                End::LaggingEnd => "the end that the belt meets last",
                End::ShortPulleySide => "the end on the shorter side",
                End::LongPulleySide => "the end on the longer side",
                End::LeadingSnubEnd => "the end that the belt meets first",
            }
            .to_owned(),
        }
    }

    /// A rule text with its placeholders filled in. What is not known gets a word that still reads well.
    pub fn fill(&self, text: &str) -> String {
        if !text.contains('{') {
            return text.to_owned();
        }
        let mut filled = self.sides.fill(text);
        for (placeholder, end, unknown) in [
            ("{belt-side}", End::BeltSide, "run-off"),
            ("{far-side}", End::FarSide, "far"),
            ("{slack-side}", End::SlackSide, "slack"),
            ("{tight-side}", End::TightSide, "tight"),
            ("{low-frame-side}", End::LowFrameSide, "low"),
            ("{low-pulley-side}", End::LowPulleySide, "low"),
            ("{low-idler-side}", End::LowIdlerSide, "low"),
            ("{long-pulley-side}", End::LongPulleySide, "longer"),
        ] {
            filled = filled
                .replace(placeholder, self.end(end).map_or(unknown, |side| self.sides.of(side)));
        }
        let heavy = self.heavy_side();
        for (placeholder, side, unknown) in [
            ("{heavy-side}", heavy, "heavy"),
            ("{light-side}", heavy.map(Side::other), "light"),
            ("{wind-side}", self.side(self.book.roles.wind_side), "windward"),
        ] {
            filled = filled.replace(placeholder, side.map_or(unknown, |side| self.sides.of(side)));
        }
        let strand = self.strand();
        let way = strand.map_or(
            "the way that strand travels (carry: toward the head; return: toward the tail)",
            Strand::way,
        );
        filled = filled
            .replace("{strand}", strand.map_or("worst", Strand::name))
            .replace("{strand-way}", way)
            .replace("{long-diagonal}", &self.long_diagonal());
        match self.amounts {
            Some(amounts) => amounts.fill(&filled),
            None => Amounts::by_rules(self.book).fill(&filled),
        }
    }

    /// Whether the side on which the load lies is taken from where the belt runs: nobody has looked.
    pub fn heavy_side_by_the_run(&self) -> bool {
        self.answer(self.book.roles.heavy_side).is_none()
    }

    /// The side on which the load lies: seen, else by where the belt runs.
    fn heavy_side(&self) -> Option<Side> {
        let symptom = self.book.roles.heavy_side;
        match self.answer(symptom) {
            Some(_) => self.side(symptom),
            None => self.belt_run().suspects_heavy(),
        }
    }

    fn long_diagonal(&self) -> String {
        self.belt_run().longer_diagonal().map_or_else(String::new, |(tail, head)| {
            let (tail, head) = (self.sides.of(tail), self.sides.of(head));
            format!(
                " By where the belt runs: from the {tail} corner at the tail end to the {head} corner at the head end."
            )
        })
    }

    fn side(&self, symptom: Option<SymptomAt>) -> Option<Side> {
        match self.meaning(symptom)? {
            Meaning::Left => Some(Side::Left),
            Meaning::Right => Some(Side::Right),
            _ => None,
        }
    }

    fn meaning(&self, symptom: Option<SymptomAt>) -> Option<Meaning> {
        self.answer(symptom)?.means
    }

    fn answer(&self, symptom: Option<SymptomAt>) -> Option<&'a Answer> {
        let symptom = symptom?;
        let given = (*self.answers.item(symptom)?)?;
        self.book.symptoms.item(symptom)?.answers.item(given)
    }
}
