//! The same for a visit with work and second looks: what was done and reported stands in the answers file.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

use super::{Visit, all_answers, close, entropy, list, network_of, number, place, said, text};

/// The finding about these answers on a conveyor of the demo site.
fn finding(conveyor: &str, answers: &Value) -> Value {
    let mut program = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ostrel-quay"))
        .args(["diagnose", "--conveyor", conveyor, "--answers", "-", "--format", "json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    program.stdin.take().unwrap().write_all(answers.to_string().as_bytes()).unwrap();
    let ended = program.wait_with_output().unwrap();
    assert!(ended.status.success(), "{ended:?}");
    serde_json::from_slice(&ended.stdout).unwrap()
}

/// Answers by their time: 0 the start, then after each batch.
type Told<'d> = Vec<(usize, BTreeMap<&'d str, &'d str>)>;

/// What was left at the start, after the first batch and so on.
type Course<'d> = Vec<Vec<&'d str>>;

struct Worked<'d> {
    visit: Visit<'d>,
    answers: &'d Value,
    told: Told<'d>,
    /// The causes that each symptom's links name.
    linked: BTreeMap<&'d str, BTreeSet<&'d str>>,
    /// Which symptoms apply from a time on, the latest last.
    applies: Vec<(usize, BTreeSet<&'d str>)>,
    /// Rows worked out already: there are few against the ways in which things may stand.
    rows: RefCell<HashMap<RowKey<'d>, Vec<f64>>>,
}

/// A symptom, the causes left of those it hangs on, and its parents' answers.
type RowKey<'d> = (&'d str, Vec<&'d str>, Vec<(&'d str, &'d str)>);

impl<'d> Worked<'d> {
    fn of(network: &'d Value, finding: &'d Value, answers: &'d Value) -> Self {
        let pairs = |told: &'d Value| -> BTreeMap<&'d str, &'d str> {
            told.as_object().unwrap().iter().map(|(s, a)| (s.as_str(), said(a))).collect()
        };
        let mut told = vec![(0, pairs(&finding["answers"]))];
        for look in list(&finding["second"]) {
            let after = look["after_batch"].as_u64().unwrap();
            told.push((usize::try_from(after).unwrap(), pairs(&look["answers"])));
        }
        let ids = |list_of: &'d Value| list(list_of).map(text).collect::<BTreeSet<_>>();
        let mut applies = vec![(0, ids(&finding["applies"]["symptoms"]))];
        let looks = list(&finding["second"]).zip(told.iter().skip(1));
        applies.extend(looks.map(|(look, (at, _))| (*at, ids(&look["applies"]["symptoms"]))));
        let linked = list(&network["symptoms"]).map(|symptom| {
            let parts = ["links", "voices", "rows"].map(|key| symptom[key].as_object());
            let causes = parts.into_iter().flatten().flat_map(|by_cause| by_cause.keys());
            (text(&symptom["id"]), causes.map(String::as_str).collect())
        });
        Self {
            visit: Visit::of(network, finding),
            answers,
            told,
            linked: linked.collect(),
            applies,
            rows: RefCell::default(),
        }
    }

    /// The chance of an answer, by its place, given what is left and the parents' answers.
    fn of_left(
        &self,
        symptom: &'d str,
        at: usize,
        left: &[&'d str],
        given: &BTreeMap<&'d str, &'d str>,
    ) -> f64 {
        let linked = &self.linked[symptom];
        let left: Vec<&str> = left.iter().copied().filter(|c| linked.contains(c)).collect();
        let key = (symptom, left, given.iter().map(|(p, a)| (*p, *a)).collect());
        let mut rows = self.rows.borrow_mut();
        let row = rows.entry(key).or_insert_with_key(|(_, left, _)| {
            self.visit.row(self.visit.symptoms[symptom], left, given)
        });
        row[at]
    }

    /// Every way the work may have gone for a set, with its chance.
    fn courses(&self, set: &[&'d str]) -> Vec<(Course<'d>, f64)> {
        let done: Vec<&Value> = list(&self.answers["done"]).collect();
        let mut courses: Vec<(Course<'d>, f64)> = vec![(vec![Vec::new(); done.len() + 1], 1.0)];
        for &cause in set {
            // In which batch it is cured: the best single chance among what was done up to then counts.
            let mut ways: Vec<(usize, f64)> = Vec::new();
            let mut best = 0.0_f64;
            for (batch, fixes) in done.iter().enumerate() {
                let fixes = list(&self.visit.network["fixes"])
                    .filter(|fix| list(fixes).any(|done| *done == fix["id"]));
                let here = fixes.filter_map(|fix| fix["cures"].get(cause)).map(number);
                let now = here.fold(best, f64::max);
                ways.push((batch, now - best));
                best = now;
            }
            ways.push((done.len(), 1.0 - best));
            ways.retain(|(_, chance)| *chance > 0.0);
            courses = courses
                .iter()
                .flat_map(|(course, chance)| {
                    ways.iter().map(move |(cured_in, p)| {
                        let mut course = course.clone();
                        course.iter_mut().take(cured_in + 1).for_each(|left| left.push(cause));
                        (course, chance * p)
                    })
                })
                .collect();
        }
        courses
    }

    /// The chance of what was found and of how the belt ran.
    fn reported(&self, course: &Course<'_>) -> f64 {
        let reports = &self.visit.network["reports"];
        let mut chance = 1.0;
        for (cause, report) in self.answers["found"].as_object().unwrap() {
            let pair = &reports[text(report).replace('-', "_")];
            let there = course[0].contains(&cause.as_str());
            chance *= number(&pair[usize::from(!there)]);
        }
        let wrong = number(&reports["outcome_wrong"]);
        for (batch, outcome) in list(&self.answers["outcomes"]).enumerate() {
            let left = course[batch + 1].len();
            let so = match left {
                // Something else: nothing was there to be cured.
                0 if course[0].is_empty() => "no-change",
                0 => "true",
                n if n == course[0].len() => "no-change",
                _ => "better",
            };
            chance *= match text(outcome) {
                said if said == so => 1.0 - wrong,
                "true" | "better" | "no-change" => wrong / 2.0,
                _ => 1.0,
            };
        }
        chance
    }

    fn applies(&self, symptom: &str, time: usize) -> bool {
        let mut looks = self.applies.iter().rev();
        looks.find(|(at, _)| *at <= time).unwrap().1.contains(symptom)
    }

    /// The latest answer of a symptom until a time.
    fn latest(told: &Told<'d>, symptom: &str, until: usize) -> Option<(usize, &'d str)> {
        let looks = told.iter().rev().filter(|(time, _)| *time <= until);
        looks.filter_map(|(time, told)| Some((*time, *told.get(symptom)?))).next()
    }

    /// The parents that voices of these causes look at.
    fn parents(&self, symptom: &str, set: &[&str]) -> Vec<&'d str> {
        let voices = &self.visit.symptoms[symptom]["voices"];
        let parents = set.iter().filter_map(|c| voices.get(c)?.get("relative_to"));
        parents.map(text).collect()
    }

    /// The chance of all answers if the work went like this.
    fn likelihood(&self, told: &Told<'d>, course: &Course<'d>) -> f64 {
        let mut hidden: Vec<(&str, usize)> = Vec::new();
        for (time, answers) in told {
            for symptom in answers.keys() {
                for parent in self.parents(symptom, &course[0]) {
                    let open =
                        self.applies(parent, *time) && Self::latest(told, parent, *time).is_none();
                    if open && !hidden.iter().any(|(known, _)| *known == parent) {
                        hidden.push((parent, *time));
                    }
                }
            }
        }
        // What hangs on nothing hidden need not be looked at for each state of it.
        let hangs = |symptom: &str| {
            let hidden = |s: &str| hidden.iter().any(|(known, _)| *known == s);
            hidden(symptom) || self.parents(symptom, &course[0]).iter().any(|p| hidden(p))
        };
        let none = BTreeMap::new();
        let apart = self.given(told, course, &none, &|symptom| !hangs(symptom));
        apart * self.summed(told, course, &hidden, &mut BTreeMap::new(), &hangs)
    }

    /// The same over what is hidden, of which `known` is taken as given.
    fn summed(
        &self,
        told: &Told<'d>,
        course: &Course<'d>,
        hidden: &[(&'d str, usize)],
        known: &mut BTreeMap<&'d str, (usize, &'d str)>,
        hangs: &dyn Fn(&str) -> bool,
    ) -> f64 {
        let Some(((parent, first), rest)) = hidden.split_first() else {
            return self.given(told, course, known, hangs);
        };
        let symptom = self.visit.symptoms[parent];
        let mut sum = 0.0;
        for (at, answer) in list(&symptom["answers"]).map(text).enumerate() {
            let chance = self.of_left(parent, at, &course[*first], &BTreeMap::new());
            known.insert(parent, (*first, answer));
            sum += chance * self.summed(told, course, rest, known, hangs);
        }
        known.remove(parent);
        sum
    }

    fn given(
        &self,
        told: &Told<'d>,
        course: &Course<'d>,
        hidden: &BTreeMap<&'d str, (usize, &'d str)>,
        wanted: &dyn Fn(&str) -> bool,
    ) -> f64 {
        let again = number(&self.visit.network["reports"]["same_again"]);
        let mut product = 1.0;
        for (time, answers) in told {
            for (symptom, answer) in answers.iter().filter(|(symptom, _)| wanted(symptom)) {
                let entry = self.visit.symptoms[symptom];
                let at = place(entry, answer);
                let mut given = BTreeMap::new();
                for parent in self.parents(symptom, &course[*time]) {
                    let latest = Self::latest(told, parent, *time).map(|(_, answer)| answer);
                    let state = latest.or_else(|| hidden.get(parent).map(|(_, state)| *state));
                    if let Some(state) = state.filter(|_| self.applies(parent, *time)) {
                        given.insert(parent, state);
                    }
                }
                let of_left = self.of_left(symptom, at, &course[*time], &given);
                let same = |before: usize| {
                    let there = |time: usize, c: &str| course[time].contains(&c);
                    self.linked[symptom].iter().all(|c| there(before, c) == there(*time, c))
                };
                let earlier = time.checked_sub(1).and_then(|t| Self::latest(told, symptom, t));
                product *= match (earlier, hidden.get(symptom)) {
                    (Some((before, said)), _) if same(before) => {
                        (if said == *answer { again } else { 0.0 }) + (1.0 - again) * of_left
                    }
                    (None, Some((first, state))) if same(*first) => {
                        if state == answer {
                            1.0
                        } else {
                            0.0
                        }
                    }
                    _ => of_left,
                };
            }
        }
        product
    }

    /// Every course with its chance, and ln P(answers).
    fn believe(&self, told: &Told<'d>) -> (Vec<(Course<'d>, f64)>, f64) {
        let (mut before, mut answered) = (0.0, 0.0);
        let mut courses = Vec::new();
        for (set, odds) in self.visit.sets_before() {
            before += odds;
            for (course, p) in self.courses(&set) {
                let said = odds * p * self.likelihood(told, &course);
                answered += said;
                let chance = said * self.reported(&course);
                courses.push((course, chance));
            }
        }
        let none: Course<'_> = vec![Vec::new(); list(&self.answers["done"]).count() + 1];
        let said = before * self.visit.odds_of_something_else() * self.likelihood(told, &none);
        let chance = said * self.reported(&none);
        courses.push((none, chance));
        let all: f64 = courses.iter().map(|(_, p)| p).sum();
        courses.iter_mut().for_each(|(_, p)| *p /= all);
        (courses, (answered / before).ln())
    }

    /// Bits about how things stand of a question asked now.
    fn bits(&self, courses: &[(Course<'d>, f64)], id: &'d str) -> f64 {
        let symptom = self.visit.symptoms[id];
        let past = symptom["state"] == "anywhere";
        let answers = all_answers(symptom);
        let (mut mean, mut uncertain) = (vec![0.0; answers.len()], 0.0);
        for (course, weight) in courses {
            let after = |answer: &&'d str| {
                let mut told = self.told.clone();
                let at = if past { 0 } else { told.len() - 1 };
                told[at].1.insert(id, *answer);
                self.likelihood(&told, course)
            };
            let mut row: Vec<f64> = answers.iter().map(after).collect();
            let all: f64 = row.iter().sum();
            row.iter_mut().for_each(|p| *p /= all);
            uncertain += weight * entropy(&row);
            mean.iter_mut().zip(&row).for_each(|(m, p)| *m += weight * p);
        }
        entropy(&mean) - uncertain
    }
}

/// A splice that jumps and hides an idler: all answers; then with parents told late, and two batches.
fn visits() -> Vec<(&'static str, Value)> {
    let start = json!({
        "first-split": ["one-place", "one-part"], "where": "tail", "strand": "both", "runs-toward": "left",
        "how-it-moves": "jumps-each-turn", "last-work": "belt-or-splice", "follows-splice": "yes",
        "splice-clicks": "no"
    });
    let one = json!({
        "answers": start, "found": {"crooked-splice": "as-suspected"},
        "done": [["re-splice-mechanical"]], "outcomes": ["different"],
        "second": [{"after_batch": 1, "answers": {
            "first-split": "one-place", "where": "carry-run", "strand": "carry", "runs-toward": "left",
            "how-it-moves": "stays-off", "one-station": "yes", "ridges-on-rolls": "clean"
        }}]
    });
    let two = json!({
        "answers": {
            "strand": "carry", "runs-toward": "right", "still-roll": "no",
            "ridges-on-rolls": "some", "heavy-side": "unknown"
        },
        "found": {"stuck-roll": "was-fine"},
        "done": [["swap-roll", "set-chute-plate"], ["square-idler"]], "outcomes": ["no-change", "better"],
        "second": [
            {"after_batch": 2, "answers": {"runs-toward": "right", "ridges-on-rolls": "some", "heavy-side": "left"}},
            {"after_batch": 1, "answers": {"runs-toward": "right", "idler-leads": "left", "strand": "carry"}}
        ]
    });
    vec![("conveyors/OQ-01.ron", one), ("conveyors/OQ-04.ron", two)]
}

#[test]
fn every_figure_of_a_second_look_follows_from_the_documents() {
    for (conveyor, answers) in visits() {
        let network = network_of(conveyor);
        let finding = finding(conveyor, &answers);
        let worked = Worked::of(&network, &finding, &answers);
        let (courses, log_evidence) = worked.believe(&worked.told);
        close(log_evidence, number(&finding["log_evidence"]), "log_evidence");
        let chance = |holds: &dyn Fn(&Course<'_>) -> bool| -> f64 {
            courses.iter().filter(|(course, _)| holds(course)).map(|(_, p)| p).sum()
        };
        let none = chance(&|course| course[0].is_empty());
        close(none, number(&finding["something_else"]), "something else");
        for cause in list(&finding["causes"]) {
            let id = text(&cause["id"]);
            close(chance(&|c| c[0].contains(&id)), number(&cause["was_present"]), id);
            let still = chance(&|c| c.last().unwrap().contains(&id));
            close(still, number(&cause["probability"]), id);
        }
        for told in list(&finding["sets"]) {
            let set: Vec<&str> = list(&told["causes"]).map(text).collect();
            let same = |c: &Course<'_>| {
                c[0].len() == set.len() && c[0].iter().all(|cause| set.contains(cause))
            };
            close(chance(&same), number(&told["probability"]), "set");
        }
        // The leader's odds without each answer.
        let leader = text(&finding["causes"][0]["id"]);
        let odds = |courses: &[(Course<'_>, f64)]| -> f64 {
            let there = courses.iter().filter(|(c, _)| c[0].contains(&leader));
            let p: f64 = there.map(|(_, p)| p).sum();
            p / (1.0 - p)
        };
        let why = &finding["why"][leader];
        let weighed: Vec<&Value> = list(&why["for"]).chain(list(&why["against"])).collect();
        let answered: usize = worked.told.iter().map(|(_, told)| told.len()).sum();
        assert_eq!(weighed.len(), answered);
        for weighed in weighed.into_iter().step_by(4) {
            let after = weighed.get("after_batch").map_or(0, |n| n.as_u64().unwrap());
            let mut told = worked.told.clone();
            let look = told.iter_mut().find(|(time, _)| *time as u64 == after).unwrap();
            assert_eq!(look.1.remove(text(&weighed["symptom"])), Some(said(&weighed["answer"])));
            let decibans = 10.0 * (odds(&courses) / odds(&worked.believe(&told).0)).log10();
            close(decibans, number(&weighed["decibans"]), "decibans");
        }
        // Questions that look at others, and a few more.
        let next: Vec<&Value> = list(&finding["next"]).collect();
        let every = if crate::support::long() { 1 } else { 6 };
        let parent = |id: &str| {
            let voices = list(&network["symptoms"]).filter_map(|s| s["voices"].as_object());
            voices.flat_map(|voices| voices.values()).any(|voice| voice["relative_to"] == *id)
        };
        let (parents, others): (Vec<&str>, Vec<&str>) =
            next.iter().map(|question| text(&question["symptom"])).partition(|id| parent(id));
        let some = parents.iter().step_by(every).chain(others.iter().step_by(4 * every));
        for id in some {
            let question = next.iter().find(|question| question["symptom"] == **id).unwrap();
            close(worked.bits(&courses, id), number(&question["bits"]), id);
        }
    }
}
