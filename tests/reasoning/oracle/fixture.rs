//! The format of the networks, as `tests/oracle/README.md` describes it.

use std::path::PathBuf;

use serde::Deserialize;
use straybelt::reason::{Belief, Engine, Evidence, Present, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

use crate::support::{close, close_all};

/// A network as it is written.
#[derive(Debug, Deserialize)]
pub(crate) struct Written {
    pub(crate) present: WrittenPresent,
    priors: Vec<f64>,
    symptoms: Vec<WrittenSymptom>,
    #[serde(default)]
    groups: Vec<Vec<usize>>,
}

/// How many causes may be present.
#[derive(Debug, Deserialize)]
pub(crate) struct WrittenPresent {
    min: usize,
    max: usize,
}

#[derive(Debug, Deserialize)]
struct WrittenSymptom {
    minutes: f64,
    #[serde(flatten)]
    kind: WrittenKind,
}

#[derive(Debug, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum WrittenKind {
    Sign { leak: f64, links: Vec<(usize, f64)> },
    Pattern { background: Vec<f64>, voices: Vec<WrittenVoice> },
    Grade { base: Vec<f64>, rows: Vec<WrittenRow> },
}

#[derive(Debug, Deserialize)]
struct WrittenVoice {
    cause: usize,
    weight: f64,
    row: Option<Vec<f64>>,
    parent: Option<usize>,
    rows: Option<Vec<Option<Vec<f64>>>>,
}

#[derive(Debug, Deserialize)]
struct WrittenRow {
    cause: usize,
    row: Vec<f64>,
}

/// What must come out after some answers.
#[derive(Debug, Deserialize)]
pub(crate) struct Expected {
    pub(crate) log_evidence: f64,
    pub(crate) posterior: Vec<f64>,
    symptoms: Vec<Option<ExpectedWorth>>,
    best: Option<usize>,
}

#[derive(Debug, Deserialize)]
struct ExpectedWorth {
    predictive: Vec<f64>,
    bits: f64,
}

/// Where a file of right numbers is.
pub(crate) fn path(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "oracle", name].iter().collect()
}

impl Written {
    /// As the program holds it.
    pub(crate) fn network(&self) -> Network {
        Network {
            priors: self.priors.iter().copied().collect(),
            nodes: self.symptoms.iter().map(|s| s.kind.node()).collect(),
        }
    }

    pub(crate) fn present(&self) -> Present {
        Present { min: self.present.min, max: self.present.max }
    }

    /// The evidence of these answers.
    pub(crate) fn evidence(&self, answers: &[Option<usize>]) -> Evidence {
        let mut evidence = Evidence::none(self.priors.len(), self.symptoms.len());
        evidence.symptoms = answers
            .iter()
            .map(|answer| answer.map_or(Seen::Open, Seen::Answered))
            .collect::<List<SymptomAt, Seen>>();
        let places = |group: &Vec<usize>| group.iter().map(|&s| SymptomAt::at(s)).collect();
        evidence.groups = self.groups.iter().map(places).collect();
        evidence
    }

    /// Fails unless the program gives these numbers after these answers.
    pub(crate) fn meets(&self, answers: &[Option<usize>], expected: &Expected, name: &str) {
        let network = self.network();
        let engine = Engine::new(&network, self.present());
        let evidence = self.evidence(answers);
        let belief = Belief::new(&engine, &evidence).unwrap();
        close(belief.log_evidence(), expected.log_evidence, name);
        let marginals = belief.marginals();
        close_all(marginals.as_slice(), &expected.posterior, name);
        let mut best: Option<(usize, f64)> = None;
        for (number, worth) in expected.symptoms.iter().enumerate() {
            let Some(worth) = worth else { continue };
            let name = format!("{name}, symptom {number}");
            let got = Worth::new(&engine, &evidence, &belief, SymptomAt::at(number));
            close_all(&got.chances, &worth.predictive, &name);
            close(got.bits, worth.bits, &name);
            let rate = got.bits / self.symptoms[number].minutes;
            if best.is_none_or(|(_, most)| rate > most) {
                best = Some((number, rate));
            }
        }
        // Where nothing tells anything, rounding alone would choose.
        if best.is_none_or(|(_, rate)| rate > 1e-12) {
            assert_eq!(best.map(|(number, _)| number), expected.best, "{name}");
        }
    }
}

impl WrittenKind {
    fn node(&self) -> Node {
        match self {
            Self::Sign { leak, links } => Node {
                answers: 2,
                kind: Kind::Sign {
                    leak: *leak,
                    links: by_cause(links.iter().map(|&(c, p)| (c, p))),
                },
            },
            Self::Pattern { background, voices } => Node {
                answers: background.len(),
                kind: Kind::Pattern {
                    background: background.clone(),
                    voices: by_cause(voices.iter().map(|v| (v.cause, v.voice()))),
                },
            },
            Self::Grade { base, rows } => Node {
                answers: base.len(),
                kind: Kind::Grade {
                    base: base.clone(),
                    rows: by_cause(rows.iter().map(|r| (r.cause, r.row.clone()))),
                },
            },
        }
    }
}

impl WrittenVoice {
    fn voice(&self) -> Voice {
        Voice {
            weight: self.weight,
            says: match (&self.row, self.parent, &self.rows) {
                (Some(row), None, None) => Says::Row(row.clone()),
                (None, Some(parent), Some(rows)) => {
                    Says::Relative { parent: SymptomAt::at(parent), rows: rows.clone() }
                }
                _ => panic!("a voice has a row, or a parent and rows: {self:?}"),
            },
        }
    }
}

/// Links in order of their causes.
pub(crate) fn by_cause<T>(links: impl Iterator<Item = (usize, T)>) -> Vec<(CauseAt, T)> {
    let mut links: Vec<(CauseAt, T)> = links.map(|(c, says)| (CauseAt::at(c), says)).collect();
    links.sort_by_key(|(cause, _)| *cause);
    links
}
