//! What the sides of a conveyor may be called: each a name of its own.

use crate::ask::reply::too_long;

/// Characters that the name of a conveyor may have.
pub(super) const LONGEST_NAME: usize = 60;
/// Characters that the name of a side may have.
pub(super) const LONGEST_SIDE: usize = 24;

/// What is amiss with the name of a side beside that of the other one, in words; nothing where all is well.
pub(super) fn amiss(name: &str, other: &str) -> Option<String> {
    if let Some(words) = too_long(name, LONGEST_SIDE) {
        return Some(words);
    }
    (name.trim().to_lowercase() == other.trim().to_lowercase())
        .then(|| format!("The other side is called {other}. Each side needs a name of its own."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_sides_have_one_name() {
        assert_eq!(amiss("wall", "walkway"), None);
        for name in ["Wall", " wall ", "WALL"] {
            assert!(
                amiss(name, "wall").is_some_and(|words| words.contains("of its own")),
                "{name}"
            );
        }
        assert!(amiss(&"x".repeat(25), "wall").is_some_and(|words| words.contains("at most 24")));
    }
}
