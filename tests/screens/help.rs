//! What `--help` says, of every subcommand.

use clap::{Command, CommandFactory};
use straybelt::cli::Cli;

use super::site::snapshot;

#[test]
fn help_of_every_subcommand() {
    for width in [40, 80] {
        let mut pages = String::new();
        let mut command = Cli::command().term_width(width);
        command.build();
        page(&command, width, &mut pages);
        snapshot(&format!("help-{width}"), &pages);
    }
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
