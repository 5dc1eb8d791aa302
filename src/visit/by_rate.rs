//! What tells most for its minutes first, worked out only for those that may come next.

use std::cmp::Ordering;

/// Keys, the most bits per minute first. A rate is worked out once no bound hides a better one.
pub(super) struct ByRate<K, F> {
    rate: F,
    /// Keys with a bound on their rate, the largest last.
    bounds: Vec<(K, f64)>,
    /// Keys with their rate, the best last.
    rates: Vec<(K, f64)>,
}

impl<K: Copy + Ord, F: FnMut(K) -> f64> ByRate<K, F> {
    /// Over these; each comes with a bound on its rate, which may be infinite.
    pub(super) fn new(keys: impl Iterator<Item = (K, f64)>, rate: F) -> Self {
        let mut bounds: Vec<(K, f64)> = keys.collect();
        bounds.sort_by(better_last);
        Self { rate, bounds, rates: Vec::new() }
    }

    /// The next one, if its rate is above this.
    pub(super) fn next_above(&mut self, least: f64) -> Option<K> {
        self.next_rated().filter(|(_, rate)| *rate > least).map(|(key, _)| key)
    }

    fn next_rated(&mut self) -> Option<(K, f64)> {
        loop {
            let best = self.rates.last().map(|(_, rate)| *rate);
            let hidden = |(_, bound): &mut (K, f64)| best.is_none_or(|best| *bound >= best);
            let Some((key, _)) = self.bounds.pop_if(hidden) else {
                return self.rates.pop();
            };
            let rated = (key, (self.rate)(key));
            let at = self.rates.partition_point(|other| better_last(other, &rated).is_lt());
            self.rates.insert(at, rated);
        }
    }
}

/// Of equal ones the earlier in the book is better.
fn better_last<K: Ord>(a: &(K, f64), b: &(K, f64)) -> Ordering {
    a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::rulebook::index::{Place, SymptomAt};

    #[test]
    fn the_best_come_first_and_the_rest_are_not_worked_out() {
        let rates = [0.3, 0.9, 0.1, 0.9, 0.5];
        let bounds = [0.4, f64::INFINITY, 0.2, 1.0, 0.5];
        let asked = RefCell::new(Vec::new());
        let rate = |symptom: SymptomAt| {
            asked.borrow_mut().push(symptom.position());
            rates[symptom.position()]
        };
        let questions = (0..5).map(|n| (SymptomAt::at(n), bounds[n]));
        let mut by_rate = ByRate::new(questions, rate);
        assert_eq!(by_rate.next_above(0.0), Some(SymptomAt::at(1)));
        assert_eq!(*asked.borrow(), [1, 3]);
        let rest: Vec<usize> =
            std::iter::from_fn(|| by_rate.next_above(0.0)).map(Place::position).collect();
        assert_eq!(rest, [3, 4, 0, 2]);
        assert_eq!(by_rate.next_above(0.0), None);
    }
}
