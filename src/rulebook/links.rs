//! Links between answers and causes as numbers that can be read: what one cause alone does to one answer.

use super::index::{AnswerAt, CauseAt, Place, SymptomAt};
use super::model::Book;
use super::network::{Kind, Node, Says, sets_of_marks};

/// What one cause alone does to one answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    /// The question.
    pub symptom: SymptomAt,
    /// The answer; of marks the one that has this mark ticked and no other, standing for it whatever else is.
    pub answer: AnswerAt,
    /// The cause.
    pub cause: CauseAt,
    /// The number that the cause's entry gives this answer, 0..1.
    pub written: f64,
    /// Chance of the answer when this cause alone is present, 0..1.
    pub chance: f64,
    /// Chance of the answer when no cause is present that speaks of it, 0..1.
    pub without: f64,
    /// For a voice relative to another symptom: the answer to that, which picks this row.
    pub given: Option<(SymptomAt, AnswerAt)>,
}

impl Link {
    /// How much likelier the answer is with the cause than without, in decibans; below 0 when less likely.
    pub fn decibans(&self) -> f64 {
        10.0 * (self.chance.max(1e-9) / self.without.max(1e-9)).log10()
    }

    /// Whether the answer speaks for the cause.
    pub fn raises(&self) -> bool {
        self.chance > self.without * 1.000_001
    }
}

/// All links of a book, in the order of symptoms, causes and answers.
pub fn all(book: &Book) -> Vec<Link> {
    let nodes = book.network.nodes.iter();
    nodes.flat_map(|(at, node)| linked(at, node)).collect()
}

/// The links of one symptom, in the order of causes and answers.
pub fn linked(symptom: SymptomAt, node: &Node) -> Vec<Link> {
    let (mut links, mut links_of_marks) = (Vec::new(), Vec::new());
    let mut add = |cause, written: &[f64], with: &[f64], without: &[f64], given| {
        let rows = written.iter().zip(with).zip(without).enumerate();
        links.extend(rows.map(|(position, ((written, chance), without))| Link {
            symptom,
            answer: AnswerAt::at(position),
            cause,
            written: *written,
            chance: *chance,
            without: *without,
            given,
        }));
    };
    match &node.kind {
        Kind::Sign { leak, links } => {
            for (cause, link) in links {
                let no = (1.0 - leak) * (1.0 - link);
                let written = [1.0 - link, *link];
                add(*cause, &written, &[no, 1.0 - no], &[1.0 - leak, *leak], None);
            }
        }
        Kind::Pattern { background, voices } => {
            for (cause, voice) in voices {
                match &voice.says {
                    Says::Row(row) => add(*cause, row, row, background, None),
                    Says::Relative { parent, rows } => {
                        for (position, row) in rows.iter().enumerate() {
                            if let Some(row) = row {
                                let given = Some((*parent, AnswerAt::at(position)));
                                add(*cause, row, row, background, given);
                            }
                        }
                    }
                }
            }
        }
        Kind::Grade { base, rows } => {
            for (cause, row) in rows {
                let both: Vec<f64> = row.iter().zip(base).map(|(row, base)| row * base).collect();
                add(*cause, &single(row), &single(&both), &single(base), None);
            }
        }
        Kind::Marks { leaks, links } => {
            for (cause, of_marks) in links {
                marked(leaks, of_marks, |answer, [written, chance, without]| {
                    links_of_marks.push(Link {
                        symptom,
                        answer,
                        cause: *cause,
                        written,
                        chance,
                        without,
                        given: None,
                    });
                });
            }
        }
    }
    links.extend(links_of_marks);
    links
}

/// What a cause does to nothing being ticked, and to each mark whatever else is ticked: the answer, its number in
/// the cause's entry, its chance with the cause and without.
fn marked(leaks: &[f64], links: &[f64], mut add: impl FnMut(AnswerAt, [f64; 3])) {
    let none = |chances: &mut dyn Iterator<Item = f64>| chances.map(|p| 1.0 - p).product::<f64>();
    let (by_cause, without) = (none(&mut links.iter().copied()), none(&mut leaks.iter().copied()));
    add(AnswerAt::at(0), [by_cause, by_cause * without, without]);
    for (mark, (link, leak)) in links.iter().zip(leaks).enumerate().filter(|(_, (l, _))| **l > 0.0)
    {
        let chance = 1.0 - (1.0 - link) * (1.0 - leak);
        add(AnswerAt::at(sets_of_marks(mark)), [*link, chance, *leak]);
    }
}

/// Chance of each answer when no cause is present that speaks of the symptom; of each mark whatever else is ticked.
pub fn background(node: &Node) -> Vec<f64> {
    match &node.kind {
        Kind::Sign { leak, .. } => vec![1.0 - leak, *leak],
        Kind::Pattern { background, .. } => background.clone(),
        Kind::Grade { base, .. } => single(base),
        Kind::Marks { leaks, .. } => {
            let mut chances = vec![0.0; node.answers];
            marked(leaks, leaks, |answer, [.., without]| {
                if let Some(chance) = chances.get_mut(answer.position()) {
                    *chance = without;
                }
            });
            chances
        }
    }
}

/// The single chances of a cumulative row.
fn single(cumulative: &[f64]) -> Vec<f64> {
    let before = std::iter::once(0.0).chain(cumulative.iter().copied());
    cumulative.iter().zip(before).map(|(upto, before)| upto - before).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grade_points_by_its_severe_answers_and_a_sign_by_its_yes() {
        let cause = CauseAt::at(0);
        let raised = |kind| {
            let node = Node { answers: 3, kind };
            let links = linked(SymptomAt::at(0), &node);
            let raises: Vec<usize> = links
                .iter()
                .filter(|link| link.raises())
                .map(|link| link.answer.position())
                .collect();
            (raises, links)
        };
        let (raises, links) = raised(Kind::Sign { leak: 0.1, links: vec![(cause, 0.5)] });
        assert_eq!(raises, [1]);
        let yes = links.last().unwrap();
        assert!((yes.chance - 0.55).abs() < 1e-12 && (yes.without - 0.1).abs() < 1e-12);
        assert!((yes.decibans() - 7.403_626_894_942_439).abs() < 1e-9);
        let (raises, links) = raised(Kind::Grade {
            base: vec![0.7, 0.9, 1.0],
            rows: vec![(cause, vec![0.1, 0.4, 1.0])],
        });
        assert_eq!(raises, [1, 2]);
        assert!((links[0].chance - 0.07).abs() < 1e-12 && (links[0].written - 0.1).abs() < 1e-12);
    }
}
