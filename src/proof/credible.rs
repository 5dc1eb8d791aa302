//! Shares with credible intervals. A share of `hits` out of `of` has the posterior Beta(hits + 1/2, of - hits + 1/2),
//! Jeffreys' prior; the interval runs from its 2.5 to its 97.5 per cent quantile.

use statrs::function::beta::beta_reg;

/// Fewer visits than this propose nothing.
pub const LEAST: usize = 8;
/// Shares are so likely to lie within their interval.
const WITHIN: f64 = 0.95;

/// A share with its interval, and what the book expects.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CredibleShare {
    /// How many.
    pub hits: usize,
    /// Of how many.
    pub of: usize,
    /// The interval, 0..1.
    pub between: (f64, f64),
    /// What the book expects, 0..1.
    pub book: f64,
}

impl CredibleShare {
    pub(super) fn new(hits: usize, of: usize, book: f64) -> Self {
        Self { hits, of, between: interval(hits, of), book }
    }

    /// Whether enough visits say that the book's number is another.
    pub fn outside(&self) -> bool {
        self.of >= LEAST && !(self.between.0..=self.between.1).contains(&self.book)
    }

    /// The middle of what is believed of it, 0..1.
    pub(super) fn mean(&self) -> f64 {
        (self.hits as f64 + 0.5) / (self.of as f64 + 1.0)
    }
}

/// The 95 % interval of a share, 0..1: quantiles of its posterior with Jeffreys' prior.
pub fn interval(hits: usize, of: usize) -> (f64, f64) {
    let a = hits.min(of) as f64 + 0.5;
    let b = (of - hits.min(of)) as f64 + 0.5;
    let tail = (1.0 - WITHIN) / 2.0;
    (quantile(a, b, tail), quantile(a, b, 1.0 - tail))
}

/// Where the distribution Beta(a, b) reaches `share`. Halving is slow and cannot go astray.
fn quantile(a: f64, b: f64, share: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    // The quantiles near 0 need their own digits: halve the exponent first.
    while low < high {
        let middle = if low == 0.0 && high > 1e-300 && high < 0.5 {
            high / 16.0
        } else {
            f64::midpoint(low, high)
        };
        if middle <= low || middle >= high {
            break;
        }
        if beta_reg(a, b, middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_ordered_and_narrow_with_more_visits() {
        for of in [0, 1, 8, 50, 1000] {
            for hits in [0, of / 3, of] {
                let (low, high) = interval(hits, of);
                assert!(0.0 < low && low < high && high < 1.0, "{hits} of {of}");
            }
        }
        let width = |of: usize| {
            let (low, high) = interval(of / 2, of);
            high - low
        };
        assert!(width(100) < width(10) && width(10) < width(2));
    }
}
