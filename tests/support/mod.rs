//! Help for the tests that reason: plain enumeration, random networks, small books.
#![allow(dead_code, unreachable_pub, reason = "each test program uses its own part")]

pub mod books;
pub mod draw;
pub mod enumerate;
pub mod small;

/// Fails unless two numbers agree to 1e-9.
#[track_caller]
pub fn close(got: f64, expected: f64, what: &str) {
    assert!((got - expected).abs() <= 1e-9, "{what}: got {got}, expected {expected}");
}

/// Fails unless two rows of numbers agree to 1e-9.
#[track_caller]
pub fn close_all(got: &[f64], expected: &[f64], what: &str) {
    assert_eq!(got.len(), expected.len(), "{what}");
    for (i, (g, e)) in got.iter().zip(expected).enumerate() {
        close(*g, *e, &format!("{what}, number {i}"));
    }
}
