//! What several tests share: plain enumeration, random networks, small books, the program answered line by line.
#![allow(dead_code, unreachable_pub, reason = "each test program uses its own part")]

pub mod books;
pub mod draw;
pub mod enumerate;
pub mod files;
pub mod pages;
pub mod sitting;
pub mod small;
pub mod tree;

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

/// Whether the long runs are wished.
pub fn long() -> bool {
    std::env::var_os("STRAYBELT_LONG").is_some_and(|value| value == "1")
}

/// A small generator, so that a failure can be had again.
pub struct Random(pub u64);

impl Random {
    pub fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}
