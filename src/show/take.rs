//! What to take along, and apart from it what the person said is not at hand.

use super::page::Page;
use super::words::Known;

/// The tools as one sentence behind others, with a blank before it: " Take: tape. Not at hand: torch."; nothing where
/// none is needed.
pub fn sentence<S: AsRef<str>>(known: &Known, tools: &[S]) -> String {
    let (take, missing) = parted(known, tools.iter().map(AsRef::as_ref));
    let said = [("Take", take), ("Not at hand", missing)];
    let said = said.iter().filter(|(_, tools)| !tools.is_empty());
    said.map(|(what, tools)| format!(" {what}: {}.", tools.join(", "))).collect()
}

/// The same on lines of their own.
pub fn lines<'t>(page: &mut Page, known: &Known, tools: impl Iterator<Item = &'t str>) {
    let (take, missing) = parted(known, tools);
    for (lead, tools) in [("Take: ", take), ("Not at hand: ", missing)] {
        if !tools.is_empty() {
            page.item(lead, &format!("{}.", tools.join(", ")));
        }
    }
}

/// What to do without each tool that a text speaks of and that is not at hand, on lines of its own.
pub fn without(page: &mut Page, known: &Known, text: &str) {
    for (tool, without) in missing(known, text) {
        page.item(&format!("No {tool}: "), without);
    }
}

/// The same as sentences behind others, with a blank before each.
pub fn without_sentences(known: &Known, text: &str) -> String {
    let missing = missing(known, text);
    missing.iter().map(|(tool, without)| format!(" No {tool}: {without}")).collect()
}

fn missing<'k>(known: &Known<'k>, text: &str) -> Vec<(&'k str, &'k str)> {
    let named = known.book().tools.iter().filter(|tool| tool.is_named_in(text));
    let missing = named.filter(|tool| !tool.without.is_empty() && known.is_missing(&tool.name));
    missing.map(|tool| (tool.name.as_str(), tool.without.as_str())).collect()
}

/// Each once: what there is or nobody has asked about, and what is not at hand.
fn parted<'t>(known: &Known, tools: impl Iterator<Item = &'t str>) -> (Vec<&'t str>, Vec<&'t str>) {
    let mut each: Vec<&str> = Vec::new();
    for tool in tools {
        if !each.contains(&tool) {
            each.push(tool);
        }
    }
    each.into_iter().partition(|tool| !known.is_missing(tool))
}
