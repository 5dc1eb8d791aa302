//! A site's looks over those of the book. What a site puts into a look leaves the look that it was in, so that each
//! symptom stays in one.

use super::steps::{guard, take};
use super::{Over, put};
use crate::rulebook::check::Off;
use crate::rulebook::rules::Rules;
use crate::rulebook::site::Change;
use crate::rulebook::written::Look;
use crate::source::parse::{Spanned, Text};

impl Over<'_, '_> {
    pub(super) fn change_look(&mut self, base: &mut Rules, off: &mut Off, change: Change) {
        let Change::Look {
            id,
            was,
            title,
            stand,
            minutes,
            turns,
            per_50_m,
            symptoms,
            tools,
            cautions,
            place,
            state,
            early_if,
            drop_symptoms,
            drop_tools,
            drop_cautions,
        } = change
        else {
            return;
        };
        let safety = super::steps::safety_cautions(&base.cautions);
        let Some(look) = self.find(&mut base.looks, (&id, was.as_ref()), "look", |l| &l.id) else {
            return;
        };
        put(&mut look.title, title);
        put(&mut look.stand, stand);
        put(&mut look.minutes, minutes);
        look.turns = turns.or(look.turns);
        look.per_50_m = per_50_m.or(look.per_50_m);
        let mut dropped = take(&mut look.tools, &drop_tools, "tool", |tool| tool);
        dropped.extend(take(&mut look.cautions, &drop_cautions, "caution", |caution| caution));
        dropped.extend(take(&mut look.symptoms, &drop_symptoms, "symptom", |symptom| symptom));
        // They stay, each in a look of its own, and that is meant.
        off.out_of_looks.extend(drop_symptoms.iter().map(|symptom| symptom.text.clone()));
        look.tools.extend(tools);
        look.cautions.extend(cautions);
        put(&mut look.place, place);
        put(&mut look.early_if, early_if);
        let looser = state.filter(|state| guard(state.value) < guard(look.state.value));
        if looser.is_none() {
            put(&mut look.state, state);
        }
        self.missing(&id, dropped);
        self.looser(&id, looser);
        drop_cautions.iter().filter(|id| safety.contains(&id.text)).for_each(|id| self.safety(id));
        let added: Vec<&Text> = symptoms.iter().collect();
        take_out(&mut base.looks, &added, Some(&id), off);
        if let Some(look) = base.looks.iter_mut().find(|look| look.id.text == id.text) {
            look.value.symptoms.extend(symptoms);
        }
    }
}

/// Puts a site's own looks after those of the book.
pub(super) fn append(base: &mut Rules, mut site: Vec<Spanned<Look>>, off: &mut Off) {
    let named: Vec<&Text> = site.iter().flat_map(|look| &look.value.symptoms).collect();
    take_out(&mut base.looks, &named, None, off);
    base.looks.append(&mut site);
}

/// Takes a look away, and says whether there was one. Its symptoms stay, each in a look of its own, and are not told of.
pub(super) fn switch_off(base: &mut Rules, id: &Text, off: &mut Off) -> bool {
    let Some(at) = base.looks.iter().position(|look| look.id.text == id.text) else {
        return off.looks.contains(&id.text);
    };
    let gone = base.looks.remove(at).value;
    off.out_of_looks.extend(gone.symptoms.into_iter().map(|symptom| symptom.text));
    off.looks.insert(gone.id.text);
    true
}

/// What waits for a symptom that is switched off brings no look forward any more.
pub(super) fn never_early(base: &mut Rules, off: &Off) {
    for look in &mut base.looks {
        let early = &look.value.early_if;
        let asked = early.iter().filter_map(|condition| condition.value.asks());
        if asked.into_iter().any(|asked| off.symptoms.contains(&asked.text)) {
            look.value.early_if.clear();
        }
    }
}

/// Takes symptoms out of all looks but one. A look that has nothing left to show goes too.
fn take_out(looks: &mut Vec<Spanned<Look>>, named: &[&Text], but: Option<&Text>, off: &mut Off) {
    let is_named = |symptom: &Text| named.iter().any(|named| named.text == symptom.text);
    looks.retain_mut(|look| {
        let look = &mut look.value;
        if but.is_some_and(|but| but.text == look.id.text) || !look.symptoms.iter().any(is_named) {
            return true;
        }
        look.symptoms.retain(|symptom| !is_named(symptom));
        if look.symptoms.is_empty() {
            off.looks.insert(look.id.text.clone());
        }
        !look.symptoms.is_empty()
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Code, Report};
    use crate::rulebook::overlay::{fingerprint, lay};
    use crate::source::{Texts, parse};

    const BOOK: &str = r#"[
        (id: "walk", title: "Walk", place: WholeLine, state: Running, stand: "On the walkway.", minutes: 3.0,
            symptoms: ["where", "strand"], source: Memory),
        (id: "spot", title: "Spot", place: TroubleSpot, state: Running, stand: "At the spot.", minutes: 2.0, turns: 3.0,
            early_if: [Answer("where", ["tail"])], symptoms: ["noise"], source: Memory),
    ]"#;

    /// What came of a site over the looks of the book.
    struct Laid {
        looks: Vec<Look>,
        off: Off,
        told: Vec<Code>,
    }

    fn laid(site: &str, own: &str) -> Laid {
        let mut texts = Texts::default();
        let mut list = |name: &str, text: &str| -> Vec<Spanned<Look>> {
            let file = texts.add(name, text.to_owned());
            parse::list(&texts, file).items.into_iter().filter_map(|item| item.value).collect()
        };
        let mut base = Rules { looks: list("book", BOOK), ..Rules::default() };
        let was = base.looks.iter().map(|look| look.span).collect::<Vec<_>>();
        let looks = list("own", own);
        let site = was.iter().zip(["WALK", "SPOT"]).fold(site.to_owned(), |site, (span, name)| {
            site.replace(name, &fingerprint(&texts, *span))
        });
        let file = texts.add("site", site);
        let site = Rules { looks, site: parse::whole(&texts, file).ok(), ..Rules::default() };
        assert!(site.site.is_some());
        let mut report = Report::default();
        let off = lay(&mut base, site, &texts, &mut report);
        Laid {
            looks: base.looks.into_iter().map(|look| look.value).collect(),
            off,
            told: report.sorted().iter().map(|problem| problem.code).collect(),
        }
    }

    fn shows(laid: &Laid) -> Vec<(&str, Vec<&str>)> {
        let looks = laid.looks.iter();
        looks
            .map(|look| {
                let symptoms = look.symptoms.iter().map(|s| s.text.as_str());
                (look.id.text.as_str(), symptoms.collect())
            })
            .collect()
    }

    #[test]
    fn a_change_gives_other_words_and_minutes_and_adds_what_is_looked_at() {
        let site = r#"(change: [Look(id: "spot", was: "SPOT", title: "The spot", minutes: 1.5, per_50_m: 0.5,
            stand: "On the gallery.", symptoms: ["strand", "gulls"], tools: ["torch"], cautions: ["gulls"])])"#;
        let laid = laid(site, "[]");
        assert_eq!(laid.told, []);
        assert_eq!(
            shows(&laid),
            [("walk", vec!["where"]), ("spot", vec!["noise", "strand", "gulls"])]
        );
        let spot = &laid.looks[1];
        assert_eq!((&*spot.title.text, &*spot.stand.text), ("The spot", "On the gallery."));
        let minutes = |of: Option<Spanned<f64>>| of.map(|minutes| minutes.value);
        assert_eq!(spot.minutes.value, 1.5);
        assert_eq!((minutes(spot.turns), minutes(spot.per_50_m)), (Some(3.0), Some(0.5)));
        assert_eq!((spot.tools.len(), spot.cautions.len(), spot.early_if.len()), (1, 1, 1));
    }

    #[test]
    fn a_look_of_the_site_takes_its_symptoms_along() {
        let own = r#"[(id: "gallery", title: "Gallery", place: CarryRun, state: Running, stand: "Up there.",
            minutes: 1.0, symptoms: ["noise", "strand"], source: Memory)]"#;
        let laid = laid("()", own);
        assert_eq!(laid.told, []);
        assert_eq!(
            shows(&laid),
            [("walk", vec!["where"]), ("gallery", vec!["noise", "strand"])],
            "`spot` has nothing left to show"
        );
        assert!(laid.off.looks.contains("spot") && laid.off.out_of_looks.is_empty());
    }

    #[test]
    fn what_is_switched_off_is_gone_and_told_of_when_it_never_was() {
        let site = r#"(switch_off: [Look("walk"), Look("walk"), Look("wlak")])"#;
        let laid = laid(site, "[]");
        assert_eq!(laid.told, [Code::UnknownId]);
        assert_eq!(shows(&laid), [("spot", vec!["noise"])]);
        let out: Vec<_> = laid.off.out_of_looks.iter().map(String::as_str).collect();
        assert_eq!(out, ["strand", "where"], "they stay, each in a look of its own");
    }

    #[test]
    fn a_change_that_does_not_fit_any_more_is_told_of() {
        let told = |site: &str| laid(site, "[]").told;
        assert_eq!(told(r#"(change: [Look(id: "walk", minutes: 4.0)])"#), [Code::NoFingerprint]);
        assert_eq!(told(r#"(change: [Look(id: "walk", was: "00000000")])"#), [Code::Moved]);
        assert_eq!(told(r#"(change: [Look(id: "wlak", was: "00000000")])"#), [Code::UnknownId]);
    }
}
