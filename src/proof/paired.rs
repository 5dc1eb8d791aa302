//! Two books on the same draws: how far they differ, and whether that can be told from luck.

use serde::Serialize;

use super::score::Mean;

/// A figure by two books, over the same draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Paired {
    /// How many draws.
    pub of: usize,
    /// The mean by the old book.
    pub old: f64,
    /// The mean by the new one.
    pub new: f64,
    /// How much more by the new one, draw by draw. Since both had the same draws, the luck of the draw is not in it.
    pub more: Mean,
}

/// What is to be wished for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// The more the better.
    More,
    /// The less the better.
    Less,
}

/// What can be said of a difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The new book does better, and luck alone would seldom look so.
    Better,
    /// It does worse.
    Worse,
    /// It may be either.
    CannotBeTold,
    /// Every draw came out the same.
    Same,
}

impl Paired {
    /// Of these pairs, the old book's first.
    pub fn new(pairs: &[(f64, f64)]) -> Self {
        Self {
            of: pairs.len(),
            old: Mean::new(pairs.iter().map(|(old, _)| *old)).mean,
            new: Mean::new(pairs.iter().map(|(_, new)| *new)).mean,
            more: Mean::new(pairs.iter().map(|(old, new)| new - old)),
        }
    }

    /// Between which differences the true one lies, in 19 of 20 such comparisons.
    pub fn between(&self) -> (f64, f64) {
        let Mean { mean, give_or_take } = self.more;
        (mean - give_or_take, mean + give_or_take)
    }

    /// What can be said of it.
    pub fn verdict(&self, wanted: Wanted) -> Verdict {
        let (low, high) = self.between();
        let Mean { mean, give_or_take } = self.more;
        if mean == 0.0 && give_or_take == 0.0 {
            return Verdict::Same;
        }
        // Of a single draw nothing can be told.
        if self.of < 2 {
            return Verdict::CannotBeTold;
        }
        match (low > 0.0, high < 0.0, wanted) {
            (true, _, Wanted::More) | (_, true, Wanted::Less) => Verdict::Better,
            (true, _, Wanted::Less) | (_, true, Wanted::More) => Verdict::Worse,
            _ => Verdict::CannotBeTold,
        }
    }
}

/// What two books made of the same draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Against {
    /// Draws that both could play.
    pub draws: usize,
    /// Those that one of them could not: what is hidden is no cause of it.
    pub left_out: usize,
    /// The leading cause was right: 1 or 0.
    pub right_first: Paired,
    /// One of the first three was right: 1 or 0.
    pub right_in_three: Paired,
    /// The belt ran true in the end: 1 or 0.
    pub ran_true: Paired,
    /// Minutes until the belt ran true.
    pub minutes: Paired,
}

/// One draw as one book played it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Came {
    /// The leading cause was right.
    pub right_first: bool,
    /// One of the first three was.
    pub right_in_three: bool,
    /// The belt ran true in the end.
    pub ran_true: bool,
    /// Minutes until then.
    pub minutes: f64,
}

impl Against {
    /// Of these draws, the old book's first.
    pub fn of(pairs: &[(Came, Came)], left_out: usize) -> Self {
        let paired = |what: &dyn Fn(&Came) -> f64| {
            let both: Vec<(f64, f64)> =
                pairs.iter().map(|(old, new)| (what(old), what(new))).collect();
            Paired::new(&both)
        };
        let came = |so: bool| f64::from(u8::from(so));
        Self {
            draws: pairs.len(),
            left_out,
            right_first: paired(&|c| came(c.right_first)),
            right_in_three: paired(&|c| came(c.right_in_three)),
            ran_true: paired(&|c| came(c.ran_true)),
            minutes: paired(&|c| c.minutes),
        }
    }

    /// Each figure that is judged, with what is to be wished for: what weighs most with a maintainer first.
    pub fn judged(&self) -> [(&'static str, &Paired, Wanted); 3] {
        [
            ("right-first", &self.right_first, Wanted::More),
            ("ran-true", &self.ran_true, Wanted::More),
            ("minutes", &self.minutes, Wanted::Less),
        ]
    }

    /// What can be said of all of it: worse if anything judged is worse.
    pub fn verdict(&self) -> Verdict {
        let all = self.judged().map(|(_, paired, wanted)| paired.verdict(wanted));
        let any = |verdict| all.contains(&verdict);
        match () {
            () if any(Verdict::Worse) => Verdict::Worse,
            () if any(Verdict::Better) => Verdict::Better,
            () if any(Verdict::CannotBeTold) => Verdict::CannotBeTold,
            () => Verdict::Same,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_luck_of_the_draw_is_not_in_a_paired_difference() {
        // The draws differ by a hundred, the books by one or two.
        let pairs: Vec<(f64, f64)> =
            (0..40).map(|n| (f64::from(n * 5), f64::from(n * 5 - 1 - n % 2))).collect();
        let minutes = Paired::new(&pairs);
        assert_eq!((minutes.more.mean, minutes.old), (-1.5, 97.5));
        assert_eq!(minutes.verdict(Wanted::Less), Verdict::Better);
        assert_eq!(minutes.verdict(Wanted::More), Verdict::Worse);
        let (low, high) = minutes.between();
        // By hand: the differences are -1 and -2 in turn; s = sqrt(40/39)/2, 1.96 s / sqrt(40) = 0.1569.
        assert!((low + 1.5 + 0.1569).abs() < 1e-3 && (high + 1.5 - 0.1569).abs() < 1e-3);
    }

    #[test]
    fn few_draws_and_equal_ones_tell_nothing() {
        let some = [(1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (0.0, 0.0), (1.0, 0.0)];
        assert_eq!(Paired::new(&some).verdict(Wanted::More), Verdict::CannotBeTold);
        assert_eq!(Paired::new(&[(1.0, 1.0), (0.0, 0.0)]).verdict(Wanted::More), Verdict::Same);
        assert_eq!(Paired::new(&[]).verdict(Wanted::More), Verdict::Same);
        assert_eq!(Paired::new(&[(1.0, 0.0)]).verdict(Wanted::More), Verdict::CannotBeTold);
    }

    #[test]
    fn anything_worse_makes_the_whole_worse() {
        let came = |right, minutes| Came {
            right_first: right,
            right_in_three: true,
            ran_true: true,
            minutes,
        };
        let pairs: Vec<(Came, Came)> = (0..50)
            .map(|n| (came(n % 2 == 0, 100.0), came(true, if n % 3 == 0 { 130.0 } else { 110.0 })))
            .collect();
        let against = Against::of(&pairs, 2);
        let verdicts = against.judged().map(|(_, paired, wanted)| paired.verdict(wanted));
        assert_eq!(verdicts, [Verdict::Better, Verdict::Same, Verdict::Worse]);
        assert_eq!(against.verdict(), Verdict::Worse);
    }
}
