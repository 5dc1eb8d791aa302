//! Words for what a run was worth, the same on every page.

use crate::drill::course::Matched;

/// How well what was said fits what was so.
pub fn matched(matched: Matched) -> &'static str {
    match matched {
        Matched::VeryWell => "very well matched",
        Matched::Well => "well matched",
        Matched::Hardly => "hardly better than a coin toss",
        Matched::Worse => "worse than a coin toss",
    }
}
