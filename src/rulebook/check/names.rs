//! NamedIds: well formed, each once, and found again where they are named.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};

use crate::problem::{Code, near, plural};
use crate::rulebook::index::{CauseAt, CautionAt, FixAt, LookAt, Place, SourceAt, SymptomAt};
use crate::rulebook::rules::{Broken, Rules};
use crate::source::Span;
use crate::source::parse::Text;

use super::{Diagnostics, Off};

/// All ids of a book by kind.
pub(super) struct Names {
    pub(super) symptoms: NamedIds<SymptomAt>,
    pub(super) causes: NamedIds<CauseAt>,
    pub(super) looks: NamedIds<LookAt>,
    pub(super) fixes: NamedIds<FixAt>,
    pub(super) cautions: NamedIds<CautionAt>,
    pub(super) sources: NamedIds<SourceAt>,
}

/// The ids of one kind.
pub(super) struct NamedIds<P> {
    what: &'static str,
    known: HashMap<String, (P, Span)>,
    off: BTreeSet<String>,
    /// Names of entries that did not load.
    broken: BTreeSet<String>,
    /// Whether a file of this kind could not be read, so that nobody knows what it names.
    unsure: bool,
    /// Unknown ids that were told of: the same slip elsewhere is counted.
    told: RefCell<BTreeSet<String>>,
}

impl Names {
    pub(super) fn new(rules: &Rules, off: &Off, diagnostics: &mut Diagnostics) -> Self {
        let none = BTreeSet::new();
        let broken = &rules.broken;
        let symptoms = rules.symptoms.iter().map(|e| &e.id);
        let causes = rules.causes.iter().map(|e| &e.id);
        let looks = rules.looks.iter().map(|e| &e.id);
        let fixes = rules.fixes.iter().map(|e| &e.id);
        let cautions = rules.cautions.iter().map(|e| &e.id);
        let sources = rules.sources.iter().map(|e| &e.id);
        Self {
            symptoms: NamedIds::of("symptom", symptoms, (&off.symptoms, broken), diagnostics),
            causes: NamedIds::of("cause", causes, (&off.causes, broken), diagnostics),
            looks: NamedIds::of("look", looks, (&off.looks, broken), diagnostics),
            fixes: NamedIds::of("fix", fixes, (&off.fixes, broken), diagnostics),
            cautions: NamedIds::of("caution", cautions, (&off.cautions, broken), diagnostics),
            sources: NamedIds::of("source", sources, (&none, broken), diagnostics),
        }
    }
}

impl<P: Place> NamedIds<P> {
    fn of<'e>(
        what: &'static str,
        ids: impl Iterator<Item = &'e Text>,
        (off, broken): (&BTreeSet<String>, &Broken),
        diagnostics: &mut Diagnostics,
    ) -> Self {
        let mut known: HashMap<String, (P, Span)> = HashMap::new();
        for (position, id) in ids.enumerate() {
            good_id(id, diagnostics);
            match known.get(&id.text) {
                Some((_, first)) => {
                    let problem = diagnostics
                        .problem(Code::TwiceId, id.span, format!("the {what} `{id}` is declared a second time"))
                        .says("again here")
                        .also(diagnostics.place(*first), "declared here first")
                        .help("give one of them another id; a site's folder changes an entry with `change` in site.ron");
                    diagnostics.add(problem);
                }
                None => {
                    known.insert(id.text.clone(), (P::at(position), id.span));
                }
            }
        }
        let of_kind = broken.names.iter().filter(|(kind, _)| *kind == what);
        Self {
            what,
            known,
            off: off.clone(),
            broken: of_kind.map(|(_, id)| id.clone()).collect(),
            unsure: broken.unsure.contains(what),
            told: RefCell::default(),
        }
    }

    /// The place of what has this id, if there is such a thing.
    pub(super) fn known(&self, id: &Text) -> Option<P> {
        self.known.get(&id.text).map(|(place, _)| *place)
    }

    /// Where what has this id is declared, if there is such a thing.
    pub(super) fn declared(&self, id: &Text) -> Option<Span> {
        self.known.get(&id.text).map(|(_, span)| *span)
    }

    /// The place of what is named. Nothing if it is switched off, or unknown and so reported.
    pub(super) fn find(&self, id: &Text, diagnostics: &mut Diagnostics) -> Option<P> {
        if let Some(place) = self.known(id) {
            return Some(place);
        }
        if self.off.contains(&id.text) {
            return None;
        }
        let again = || !self.told.borrow_mut().insert(id.text.clone());
        if self.unsure || self.broken.contains(&id.text) || again() {
            diagnostics.report.follows();
        } else {
            let problem = diagnostics.problem(
                Code::UnknownId,
                id.span,
                format!("unknown {} `{id}`", self.what),
            );
            let mut known: Vec<&str> = self.known.keys().map(String::as_str).collect();
            known.sort_unstable();
            let what = plural(self.what);
            let mut problem = near(
                problem.says(format!("no {} has this id", self.what)),
                id,
                known.iter().copied(),
                &what,
            );
            if let Some(meant) = crate::problem::nearest(id, known)
                && let Some((_, span)) = self.known.get(meant)
            {
                problem =
                    problem.also(diagnostics.place(*span), format!("`{meant}` is declared here"));
            }
            diagnostics.add(problem);
        }
        None
    }

    /// The places of all that are named, sorted; one named twice is reported.
    pub(super) fn find_all<'e>(
        &self,
        ids: impl IntoIterator<Item = &'e Text>,
        diagnostics: &mut Diagnostics,
    ) -> Vec<P> {
        let ids: Vec<&Text> = ids.into_iter().collect();
        each_once(&ids, diagnostics);
        ids.into_iter().filter_map(|id| self.find(id, diagnostics)).collect()
    }
}

/// Reports what stands twice in one list.
pub(super) fn each_once(ids: &[&Text], diagnostics: &mut Diagnostics) {
    let mut seen: HashMap<&str, Span> = HashMap::new();
    for id in ids {
        if let Some(first) = seen.insert(&id.text, id.span) {
            let problem = diagnostics
                .problem(Code::TwiceNamed, id.span, format!("`{id}` is named twice"))
                .says("again here")
                .also(diagnostics.place(first), "named here first");
            diagnostics.add(problem);
        }
    }
}

/// Reports an id of other characters than a-z, 0-9 and -.
pub(super) fn good_id(id: &Text, diagnostics: &mut Diagnostics) {
    let bad = id
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_lowercase() || c.is_ascii_digit() || *c == '-'));
    if let Some((at, c)) = bad {
        let span = id.part(at..at + c.len_utf8());
        diagnostics.tell(
            Code::BadId,
            span,
            format!("an id may not hold {c:?}"),
            "ids are made of a-z, 0-9 and -",
        );
    } else if id.is_empty() || id.len() > 60 || id.starts_with('-') || id.ends_with('-') {
        diagnostics.tell(
            Code::BadId,
            id.span,
            "an id has 1 to 60 characters and neither begins nor ends with -",
            "",
        );
    }
}
