//! Laws of the reasoning that hold for every network, on random ones.

mod beliefs;
mod draws;
mod invariance;
mod marks;
mod second_looks;
mod something_else;
mod work;
mod worth;
