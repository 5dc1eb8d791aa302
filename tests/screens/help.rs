//! What `--help` says, of every subcommand.

use std::collections::HashSet;

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
    snapshot("help-40", &once(&narrow));
    same_words(&narrow, &pages(80));
}

/// Many commands take the same options: what one does is kept where it stands first, and its name alone after that.
fn once(pages: &str) -> String {
    let option = |line: &str| line.starts_with("  ") && line.trim_start().starts_with('-');
    let below = |line: &str| line.trim().is_empty() || line.starts_with("          ");
    let lines: Vec<&str> = pages.split_inclusive('\n').collect();
    let (mut before, mut kept, mut at) = (HashSet::new(), String::new(), 0);
    while at < lines.len() {
        let more = lines[at + 1..].iter().take_while(|line| option(lines[at]) && below(line));
        let end = at + 1 + more.count();
        let new = end == at + 1 || before.insert(lines[at..end].concat());
        kept.push_str(&lines[at..if new { end } else { at + 1 }].concat());
        at = end;
    }
    kept
}

/// Wrapped lines fit by themselves; examples are written by hand, and clap leaves them as they are.
#[test]
fn each_help_opens_with_three_examples_that_fit_and_can_be_typed() {
    fn look(command: &Command) {
        let examples = command.get_before_help().map(ToString::to_string).unwrap_or_default();
        let name = command.get_name();
        assert!(examples.starts_with("Examples:\n"), "{name} has none");
        for line in examples.lines() {
            assert!(line.len() <= 40, "{name}: {line}");
        }
        let typed = typed(&examples);
        assert_eq!(typed.len(), 3, "{name}: {typed:?}");
        for line in typed {
            let words = line.split(' ').map(|word| word.trim_matches('"'));
            let wrong = Cli::command().try_get_matches_from(words).err();
            let wrong = wrong.filter(clap::Error::use_stderr);
            assert!(wrong.is_none(), "{line}: {wrong:?}");
        }
        command.get_subcommands().for_each(look);
    }
    look(&Cli::command());
}

/// The commands among examples, each on one line, without what a shell does with its output.
fn typed(examples: &str) -> Vec<String> {
    let whole = examples.replace("\\\n", " ").replace("\"carry strand\"", "carry-strand");
    let lines = whole.lines().filter(|line| line.starts_with("  straybelt"));
    lines
        .map(|line| {
            let line = line.split(['|', '>']).next().unwrap();
            line.split_whitespace().collect::<Vec<_>>().join(" ")
        })
        .collect()
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
