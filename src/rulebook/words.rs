//! The words for chances, and the numbers that the book puts behind them.

/// The likelihood words, strongest first.
const LIKELIHOOD: [&str; 6] = ["always", "usually", "often", "sometimes", "seldom", "never"];
/// The words for how common a cause is, most common first.
pub const COMMON: [&str; 6] = ["leading", "everyday", "common", "occasional", "rare", "rarest"];

/// The numbers behind the words of one book.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Words {
    /// Behind always, usually, often, sometimes, seldom, never.
    pub likelihood: [f64; 6],
    /// Behind [`COMMON`].
    pub common: [f64; 6],
}

impl Words {
    /// The word for a likelihood, or the nearest one: "usually", "about often".
    pub fn likelihood(&self, chance: f64) -> String {
        let [always, .., never] = self.likelihood;
        if chance < never * 0.75 {
            "next to never".to_owned()
        } else if 1.0 - chance < (1.0 - always) * 0.75 {
            "as good as always".to_owned()
        } else {
            word(&LIKELIHOOD, &self.likelihood, chance)
        }
    }

    /// The word for how common a cause with this prior is, or the nearest one.
    pub fn common(&self, prior: f64) -> String {
        word(&COMMON, &self.common, prior)
    }
}

/// The word whose number it is, or "about" the nearest in odds.
fn word(words: &[&str], numbers: &[f64], chance: f64) -> String {
    let odds = |p: f64| (p.max(1e-9) / (1.0 - p).max(1e-9)).ln();
    let apart = |number: &f64| (odds(*number) - odds(chance)).abs();
    let nearest = words.iter().zip(numbers).min_by(|(_, a), (_, b)| apart(a).total_cmp(&apart(b)));
    match nearest {
        Some((word, number)) if (number - chance).abs() < 1e-9 => (*word).to_owned(),
        Some((word, _)) => format!("about {word}"),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_gets_its_word_or_the_nearest() {
        let words = Words {
            likelihood: [0.97, 0.80, 0.55, 0.25, 0.08, 0.01],
            common: [0.09, 0.05, 0.025, 0.010, 0.004, 0.002],
        };
        let said = [0.97, 0.8, 0.6, 0.5, 0.3, 0.01, 0.002, 0.99].map(|c| words.likelihood(c));
        assert_eq!(
            said,
            [
                "always",
                "usually",
                "about often",
                "about often",
                "about sometimes",
                "never",
                "next to never",
                "as good as always"
            ]
        );
        assert_eq!(words.common(0.025), "common");
        assert_eq!(words.common(0.04), "about everyday");
    }
}
