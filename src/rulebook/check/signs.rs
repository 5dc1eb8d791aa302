//! The signs of the causes -> the network's nodes.

use std::collections::{BTreeSet, HashMap};

use crate::problem::Code;
use crate::rulebook::index::{CauseAt, List, Place, SymptomAt};
use crate::rulebook::network::{Kind, Node, Says, Voice};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{Favoured, Likelihood, Likely, Sign, Symptom, SymptomKind};
use crate::source::Span;
use crate::source::parse::{Spanned, Text};

use super::Diagnostics;
use super::mark_links;
use super::marks;
use super::names::Names;
use super::rows::{chance, cumulative, row};
use super::settings::{Numbers, Settings};

/// One node a symptom, its links sorted by cause.
pub(super) fn nodes(
    rules: &Rules,
    names: &Names,
    settings: &Settings,
    diagnostics: &mut Diagnostics,
) -> List<SymptomAt, Node> {
    let nodes = rules
        .symptoms
        .iter()
        .map(|symptom| bare(symptom, &settings.numbers, diagnostics))
        .collect();
    let mut links = Links {
        rules,
        names,
        numbers: &settings.numbers,
        nodes,
        seen: HashMap::new(),
        relatives: Vec::new(),
    };
    for (position, cause) in rules.causes.iter().enumerate() {
        for sign in &cause.signs {
            links.sign(CauseAt::at(position), sign, diagnostics);
        }
    }
    for (position, symptom) in rules.symptoms.iter().enumerate() {
        for seen in &symptom.seen_with {
            if let Some(cause) = names.causes.find(&seen.0, diagnostics) {
                let link = match &seen.1.value {
                    Likely::Word(word) => {
                        SignLink::Yes(Spanned { value: *word, span: seen.1.span })
                    }
                    Likely::Row(favoured) if symptom.kind.value == SymptomKind::Grade => {
                        SignLink::Grade(favoured)
                    }
                    Likely::Row(favoured) if marks::is_marks(symptom) => SignLink::Marks(favoured),
                    Likely::Row(favoured) => SignLink::Pattern(favoured),
                };
                links.add((cause, SymptomAt::at(position)), link, seen.1.span, diagnostics);
            }
        }
    }
    links.relative_rules(diagnostics);
    links.sorted()
}

/// A node without links: what is seen when none of its causes is present.
fn bare(symptom: &Symptom, numbers: &Numbers, diagnostics: &mut Diagnostics) -> Node {
    let answers = symptom.answers.as_slice();
    let flat = || vec![1.0 / answers.len().max(1) as f64; answers.len()];
    let span = symptom.leak.span;
    let kind = match (symptom.kind.value, &symptom.leak.value) {
        (SymptomKind::Marks, _) => mark_links::bare(symptom, numbers, diagnostics),
        (SymptomKind::Sign, Likely::Word(word)) => Kind::Sign {
            leak: chance(Spanned { value: *word, span }, numbers, diagnostics),
            links: Vec::new(),
        },
        (SymptomKind::Sign, Likely::Row(_)) => {
            let help = "write one likelihood, that of a yes: by_itself: Seldom";
            diagnostics.tell(
                Code::WrongKind,
                span,
                "a sign has one likelihood by itself, not a list",
                help,
            );
            Kind::Sign { leak: 0.5, links: Vec::new() }
        }
        (kind, Likely::Word(_)) => {
            let word = if kind == SymptomKind::Grade { "grade" } else { "pattern" };
            let message = format!("a {word} needs a list of answers by itself, not one likelihood");
            let help = format!("write by_itself: {}", example_row(symptom));
            diagnostics.tell(Code::WrongKind, span, message, &help);
            // Of its own kind, so that the signs on it are not told of as well.
            match kind {
                SymptomKind::Grade => Kind::Grade { base: cumulative(&flat()), rows: Vec::new() },
                _ => Kind::Pattern { background: flat(), voices: Vec::new() },
            }
        }
        (SymptomKind::Pattern, Likely::Row(favoured)) => Kind::Pattern {
            background: row(favoured, (&symptom.id, answers), span, numbers, diagnostics)
                .unwrap_or_else(flat),
            voices: Vec::new(),
        },
        (SymptomKind::Grade, Likely::Row(favoured)) => Kind::Grade {
            base: cumulative(
                &row(favoured, (&symptom.id, answers), span, numbers, diagnostics)
                    .unwrap_or_else(flat),
            ),
            rows: Vec::new(),
        },
    };
    Node { answers: marks::answers_of(symptom), kind }
}

struct Links<'r> {
    rules: &'r Rules,
    names: &'r Names,
    numbers: &'r Numbers,
    nodes: Vec<Node>,
    seen: HashMap<(SymptomAt, CauseAt), Span>,
    /// Relative symptom, parent, and where it is said.
    relatives: Vec<(SymptomAt, SymptomAt, Span)>,
}

/// What one cause says about one symptom, as written.
enum SignLink<'r> {
    Yes(Spanned<Likelihood>),
    Pattern(&'r [Favoured]),
    Grade(&'r [Favoured]),
    Marks(&'r [Favoured]),
    Side { parent: &'r Text, likelihood: Spanned<Likelihood>, same: bool },
}

impl<'r> Links<'r> {
    fn sign(&mut self, cause: CauseAt, sign: &'r Spanned<Sign>, diagnostics: &mut Diagnostics) {
        let Some(symptom) = self.names.symptoms.find(sign.symptom(), diagnostics) else {
            return;
        };
        let link = match &sign.value {
            Sign::Sees(_, likelihood) => SignLink::Yes(*likelihood),
            Sign::Shows(_, favoured) => SignLink::Pattern(favoured),
            Sign::Reaches(_, favoured) => SignLink::Grade(favoured),
            Sign::Marks(_, favoured) => SignLink::Marks(favoured),
            Sign::SameSideAs(_, parent, likelihood) => {
                SignLink::Side { parent, likelihood: *likelihood, same: true }
            }
            Sign::OppositeSideTo(_, parent, likelihood) => {
                SignLink::Side { parent, likelihood: *likelihood, same: false }
            }
        };
        self.add((cause, symptom), link, sign.span, diagnostics);
    }

    fn add(
        &mut self,
        (cause, at): (CauseAt, SymptomAt),
        link: SignLink<'r>,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) {
        let Some(symptom) = self.rules.symptoms.get(at.position()) else {
            return;
        };
        if let Some(first) = self.seen.insert((at, cause), span) {
            let problem = diagnostics
                .problem(
                    Code::TwiceNamed,
                    span,
                    format!("this cause has a sign on `{}` already", symptom.id),
                )
                .says("again here")
                .also(diagnostics.place(first), "first here")
                .help("a cause says one thing about a symptom: make one of the two");
            diagnostics.add(problem);
            return;
        }
        let answers = symptom.answers.as_slice();
        let id = &symptom.id;
        let Some(node) = self.nodes.get_mut(at.position()) else {
            return;
        };
        match (link, &mut node.kind) {
            (SignLink::Yes(likelihood), Kind::Sign { links, .. }) => {
                links.push((cause, chance(likelihood, self.numbers, diagnostics)));
            }
            (SignLink::Pattern(favoured), Kind::Pattern { voices, .. }) => {
                if let Some(row) = row(favoured, (id, answers), span, self.numbers, diagnostics) {
                    voices.push((cause, Voice { weight: 1.0, says: Says::Row(row) }));
                }
            }
            (SignLink::Grade(favoured), Kind::Grade { rows, .. }) => {
                if let Some(row) = row(favoured, (id, answers), span, self.numbers, diagnostics) {
                    rows.push((cause, cumulative(&row)));
                }
            }
            (SignLink::Marks(favoured), Kind::Marks { links, .. }) => {
                let of_marks = mark_links::links(favoured, symptom, self.numbers, diagnostics);
                links.extend(of_marks.map(|of_marks| (cause, of_marks)));
            }
            (SignLink::Side { parent, likelihood, same }, Kind::Pattern { .. }) => {
                self.side(cause, at, parent, likelihood, same, span, diagnostics);
            }
            (link, _) => wrong_kind(&link, symptom, span, diagnostics),
        }
    }

    #[expect(clippy::too_many_arguments, reason = "all parts of one sign")]
    fn side(
        &mut self,
        cause: CauseAt,
        at: SymptomAt,
        parent: &Text,
        likelihood: Spanned<Likelihood>,
        same: bool,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) {
        let Some(parent_at) = self.names.symptoms.find(parent, diagnostics) else {
            return;
        };
        let (Some(child), Some(written)) =
            (self.rules.symptoms.get(at.position()), self.rules.symptoms.get(parent_at.position()))
        else {
            return;
        };
        if !marks::gives_a_side(written, parent.span, diagnostics) {
            return;
        }
        for (symptom, named) in [(child, span), (written, parent.span)] {
            let has = |side: &str| symptom.answers.iter().any(|(id, _)| id.text == side);
            if !(has("left") && has("right")) {
                let message = format!(
                    "`{}` has no answers `left` and `right`, so no side can follow from it",
                    symptom.id
                );
                diagnostics.tell(Code::Relative, named, message, "");
                return;
            }
        }
        let answers = child.answers.as_slice();
        let place = |side: &str| answers.iter().position(|(id, _)| id.text == side);
        let (Some(left), Some(right)) = (place("left"), place("right")) else {
            return;
        };
        let Some((id, _)) = answers.get(left) else {
            return;
        };
        let favoured = [Favoured(id.clone(), likelihood)];
        // The likelihood's place, so that a problem of the row points at it.
        let Some(to_left) =
            row(&favoured, (&child.id, answers), likelihood.span, self.numbers, diagnostics)
        else {
            return;
        };
        let mut to_right = to_left.clone();
        to_right.swap(left, right);
        let rows = written.answers.iter().map(|(answer, _)| match (answer.text.as_str(), same) {
            ("left", true) | ("right", false) => Some(to_left.clone()),
            ("right", true) | ("left", false) => Some(to_right.clone()),
            _ => None,
        });
        let says = Says::Relative { parent: parent_at, rows: rows.collect() };
        if let Some(Kind::Pattern { voices, .. }) =
            self.nodes.get_mut(at.position()).map(|node| &mut node.kind)
        {
            voices.push((cause, Voice { weight: 1.0, says }));
        }
        self.relatives.push((at, parent_at, span));
    }

    /// Parents are plain symptoms; neither they nor the relative symptom may be in a group.
    fn relative_rules(&self, diagnostics: &mut Diagnostics) {
        let relative: BTreeSet<SymptomAt> =
            self.relatives.iter().map(|(child, ..)| *child).collect();
        for (child, parent, span) in &self.relatives {
            let written = |at: SymptomAt| self.rules.symptoms.get(at.position());
            if let (true, Some(symptom)) = (relative.contains(parent), written(*parent)) {
                let message = format!(
                    "`{}` is itself relative to another symptom, so nothing can be relative to it",
                    symptom.id
                );
                diagnostics.tell(Code::Relative, *span, message, "");
            }
            for symptom in [written(*child), written(*parent)].into_iter().flatten() {
                if let Some((from, _)) = symptom.follows.first() {
                    let message = format!(
                        "`{}` may follow from another answer, so no side may be relative to or follow from it",
                        symptom.id
                    );
                    let problem = diagnostics
                        .problem(Code::Relative, *span, message)
                        .also(diagnostics.place(from.span), "what it follows from");
                    diagnostics.add(problem);
                }
                if let Some(group) = &symptom.group {
                    let message = format!(
                        "`{}` is in the group `{group}`, so no side may be relative to or follow from it",
                        symptom.id
                    );
                    let problem = diagnostics
                        .problem(Code::Relative, *span, message)
                        .also(diagnostics.place(group.span), "its group");
                    diagnostics.add(problem);
                }
            }
        }
    }

    fn sorted(mut self) -> List<SymptomAt, Node> {
        for node in &mut self.nodes {
            match &mut node.kind {
                Kind::Sign { links, .. } => links.sort_by_key(|(cause, _)| *cause),
                Kind::Pattern { voices, .. } => voices.sort_by_key(|(cause, _)| *cause),
                Kind::Grade { rows, .. } => rows.sort_by_key(|(cause, _)| *cause),
                Kind::Marks { links, .. } => links.sort_by_key(|(cause, _)| *cause),
            }
        }
        self.nodes.into_iter().collect()
    }
}

fn wrong_kind(link: &SignLink, symptom: &Symptom, span: Span, diagnostics: &mut Diagnostics) {
    let word = match link {
        SignLink::Yes(_) => "Sees, or a single likelihood,",
        SignLink::Pattern(_) => "Shows, or a list of answers,",
        SignLink::Grade(_) => "Reaches, or a list of answers,",
        SignLink::Marks(_) => "Marks, or a list of answers,",
        SignLink::Side { .. } => "A side",
    };
    let id = &symptom.id;
    let (kind, help) = match symptom.kind.value {
        SymptomKind::Sign => {
            ("sign", format!("write Sees(\"{id}\", Often), or one likelihood in seen_with"))
        }
        SymptomKind::Pattern => {
            ("pattern", format!("write Shows(\"{id}\", {})", example_row(symptom)))
        }
        SymptomKind::Grade => (
            "grade",
            format!(
                "write Reaches(\"{id}\", {}): its grades, from mild to severe",
                example_row(symptom)
            ),
        ),
        SymptomKind::Marks => (
            "symptom of marks",
            format!("write Marks(\"{id}\", {}), each answer by itself", example_row(symptom)),
        ),
    };
    let problem = diagnostics
        .problem(
            Code::WrongKind,
            span,
            format!("{word} does not fit `{}`, which is a {kind}", symptom.id),
        )
        .also(diagnostics.place(symptom.kind.span), "its kind")
        .help(help);
    diagnostics.add(problem);
}

/// Such a list of answers with their likelihoods as a symptom needs: of a grade without its first, which says that there
/// is nothing.
fn example_row(symptom: &Symptom) -> String {
    let skip = usize::from(symptom.kind.value == SymptomKind::Grade);
    let words = ["Sometimes", "Seldom"];
    let answers = symptom.answers.iter().skip(skip).zip(words);
    let row: Vec<String> = answers.map(|((id, _), word)| format!("(\"{id}\", {word})")).collect();
    format!("[{}]", row.join(", "))
}
