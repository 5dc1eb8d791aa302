//! A site's looks over those of the book. What a site puts into a look leaves the look that it was in, so that each
//! symptom stays in one.

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
        } = change
        else {
            return;
        };
        let Some(look) = self.find(&mut base.looks, (&id, was.as_ref()), "look", |l| &l.id) else {
            return;
        };
        put(&mut look.title, title);
        put(&mut look.stand, stand);
        put(&mut look.minutes, minutes);
        look.turns = turns.or(look.turns);
        look.per_50_m = per_50_m.or(look.per_50_m);
        look.tools.extend(tools);
        look.cautions.extend(cautions);
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
