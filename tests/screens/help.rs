//! What `--help` says, of every subcommand.

use clap::{Command, CommandFactory};
use straybelt::cli::Cli;

use super::site::snapshot;
use crate::support::pages::same_words;

#[test]
fn help_of_every_subcommand() {
    let pages = |width| {
        let mut pages = String::new();
        let mut command = Cli::command().term_width(width);
        command.build();
        page(&command, width, &mut pages);
        pages
    };
    let narrow = pages(40);
    snapshot("help-40", &narrow);
    same_words(&narrow, &pages(80));
}

/// Wrapped lines fit by themselves; examples are written by hand, and clap leaves them as they are.
#[test]
fn examples_fit_the_smallest_screen() {
    fn look(command: &Command) {
        if let Some(examples) = command.get_after_help() {
            let examples = examples.to_string();
            let examples = examples.lines().filter(|_| examples.starts_with("Example"));
            for line in examples {
                assert!(line.len() <= 40, "{}: {line}", command.get_name());
            }
        }
        command.get_subcommands().for_each(look);
    }
    look(&Cli::command());
}

fn page(command: &Command, width: usize, pages: &mut String) {
    let mut own = command.clone().term_width(width);
    let help = own.render_long_help().to_string();
    let name = command.get_bin_name().unwrap_or("straybelt");
    pages.push_str(&format!("$ {name} --help\n{help}\n"));
    for below in command.get_subcommands() {
        if below.get_name() != "help" {
            page(below, width, pages);
        }
    }
}
