//! Hands arguments and real streams to the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    straybelt::commands::run(std::env::args_os(), &mut straybelt::commands::Streams::real()).into()
}
