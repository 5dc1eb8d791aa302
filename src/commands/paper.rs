//! `completions` and `man`: what other programs want to know of the command line.

use std::io::Write;

use clap::CommandFactory;
use clap_complete::Shell;

use super::{Failed, Streams};
use crate::cli::Cli;
use crate::exit::Exit;

/// Prints the completions of a shell.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn completions(shell: Shell, streams: &mut Streams) -> Result<Exit, Failed> {
    // Into memory first: the generator does not hand on the errors of a stream.
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "straybelt", &mut text);
    streams.out.write_all(&text)?;
    Ok(Exit::Done)
}

/// Prints the manual page.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn man(streams: &mut Streams) -> Result<Exit, Failed> {
    clap_mangen::Man::new(Cli::command()).render(&mut streams.out)?;
    Ok(Exit::Done)
}
