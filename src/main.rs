//! Hands arguments and real streams to the library.

fn main() {}
