//! Our way of asking against the best way of asking there is, on small books.
//!
//! Ours: ask the question with the most bits per minute until one cause is likely enough, and then do as the
//! plan says. The best: at every state of the answers, whatever leads to the least
//! expected minutes, worked out backwards over all states, with exact plans. Both are free to ask first
//! and to put right after. `tests/rules/proof/optimal.rs` checks the working out against exhaustive search.

use crate::support::small::small_book;
use fastrand::Rng;
use straybelt::proof::optimal::AskingPolicies;
use straybelt::visit::{ConveyorFacts, Diagnosis, Observations};

#[test]
fn asking_stays_near_the_best() {
    let mut rng = Rng::with_seed(2_024);
    let mut ratios = Vec::new();
    let mut without = Vec::new();
    for number in 0..20 {
        let book = small_book(&mut rng, number);
        let (diagnosis, facts) = (Diagnosis::new(&book), ConveyorFacts::default());
        let mut ways = AskingPolicies::new(&diagnosis, &facts);
        let nothing = Observations::none(&book);
        let best = ways.best(&nothing).unwrap();
        let ours = ways.own(&nothing).unwrap();
        let at_once = ways.at_once(&nothing).unwrap();
        println!(
            "{number}: best {best:.2}, ours {:.4}, at once {:.4}",
            ours / best,
            at_once / best
        );
        assert!(ours >= best - 1e-6, "{number}: {ours} beats the best, {best}");
        ratios.push(ours / best);
        without.push(at_once / best);
    }
    let mean = |list: &[f64]| list.iter().sum::<f64>() / list.len() as f64;
    let worst = ratios.iter().copied().fold(0.0, f64::max);
    println!("mean {:.4}, worst {worst:.4}; no questions {:.4}", mean(&ratios), mean(&without));
    assert!(mean(&ratios) <= 1.06, "mean {}", mean(&ratios));
    assert!(mean(&without) > mean(&ratios), "books in which asking is of no use prove nothing");
}
