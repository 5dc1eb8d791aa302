//! The best way of asking against exhaustive search.

use fastrand::Rng;
use straybelt::plan::solve_exactly;
use straybelt::proof::optimal::{AskingPolicies, exact};
use straybelt::rulebook::model::Book;
use straybelt::visit::{ConveyorFacts, Diagnosis, Machine, Observations};

use super::exhaustive::World;
use crate::support::files::small;
use crate::support::small::small_book;

#[track_caller]
fn close(got: f64, expected: f64, what: &str) {
    assert!((got - expected).abs() <= 1e-6 * expected, "{what}: {got}, not {expected}");
}

#[test]
fn the_best_way_is_that_of_exhaustive_search() {
    let mut rng = Rng::with_seed(77);
    for number in 0..6 {
        let book = small_book(&mut rng, number);
        let (diagnosis, facts) = (Diagnosis::new(&book), ConveyorFacts::default());
        let mut ways = AskingPolicies::new(&diagnosis, &facts);
        let nothing = Observations::none(&book);
        let mut world = World::of(&book);
        let none = vec![0; book.symptoms.len()];
        let what = |way: &str| format!("book {number}, {way}");
        let best = ways.best(&nothing).unwrap();
        close(best, world.best(&none, Machine::Running), &what("best"));
        let own = ways.own(&nothing).unwrap();
        close(own, world.ours(&diagnosis, &none, Machine::Running), &what("own"));
        let problem = world.problem(&none, Machine::Running);
        let at_once = problem.cost(&solve_exactly(&problem));
        close(ways.at_once(&nothing).unwrap(), at_once, &what("at once"));
        assert!(best <= own + 1e-9 && best <= at_once + 1e-9, "{number}");
    }
}

#[test]
fn a_large_book_is_not_worked_out() {
    let mut book: Book = small();
    let ways = exact(&book).unwrap();
    assert!(ways.best <= ways.own + 1e-9 && ways.own < ways.at_once, "{ways:?}");
    let another = book.causes.values().next().unwrap().clone();
    while book.causes.len() < 7 {
        book.causes.push(another.clone());
    }
    assert_eq!(exact(&book), None);
}
