//! Arguments of `gauge`: one subcommand for each gauge, its flags from the readings it asks for.

use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::{Arg, ArgMatches, Args, Command, FromArgMatches, ValueEnum, value_parser};

use super::examples;
use super::shared::PlainArg;
use crate::conveyor::quantity;
use crate::gauge::{self, Gauge, Rows, Takes, Wanted};
use crate::trade::Units;

/// Arguments of `gauge`.
#[derive(Debug, Clone, Default)]
pub struct GaugeArgs {
    /// Which gauge; without one they are listed.
    pub call: Option<GaugeCall>,
}

/// One measurement.
#[derive(Debug, Clone)]
pub struct GaugeCall {
    /// The gauge.
    pub gauge: &'static Gauge,
    /// The way to measure, if one is named.
    pub way: Option<String>,
    /// Readings by flag, as typed.
    pub readings: Vec<(&'static str, String)>,
    /// A table of readings; `-` is standard input.
    pub csv: Option<PathBuf>,
    /// What is known of the conveyor.
    pub conveyor: Option<PathBuf>,
    /// In which units to read and print.
    pub units: Option<Units>,
    /// How the result is printed.
    pub format: GaugeFormat,
    /// A site's folder of rule files: which symptoms the gauge answers.
    pub rules: Option<PathBuf>,
    /// How the readings are asked for.
    pub plain: PlainArg,
    /// How often each reading is taken.
    pub repeat: u32,
    /// Where a site's rules are found if none are named.
    pub state: Option<PathBuf>,
}

/// How a measurement's result is printed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum GaugeFormat {
    /// A page for people.
    #[default]
    Text,
    /// One JSON document.
    Json,
}

/// The flags that every gauge has; no reading may be called so.
pub const OWN_FLAGS: [&str; 9] =
    ["by", "csv", "conveyor", "units", "format", "rules", "plain", "state", "repeat"];

impl Args for GaugeArgs {
    fn augment_args(command: Command) -> Command {
        command
            .before_help(examples::GAUGE)
            .subcommands(gauge::ALL.iter().map(|gauge| subcommand(gauge)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for GaugeArgs {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let mut args = Self::default();
        args.update_from_arg_matches(matches)?;
        Ok(args)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        self.call = matches
            .subcommand()
            .and_then(|(name, matches)| Some(call(gauge::named(name)?, matches)));
        Ok(())
    }
}

fn call(gauge: &'static Gauge, matches: &ArgMatches) -> GaugeCall {
    let text = |flag: &str| matches.get_one::<String>(flag).cloned();
    let path = |flag: &str| matches.get_one::<PathBuf>(flag).cloned();
    GaugeCall {
        gauge,
        way: if gauge.ways.len() > 1 { text("by") } else { None },
        readings: wanted(gauge)
            .flat_map(|wanted| {
                let typed = matches.get_many::<String>(wanted.key.as_str()).into_iter().flatten();
                typed.map(|typed| (wanted.key.as_str(), typed.clone()))
            })
            .collect(),
        csv: if has_table(gauge) { path("csv") } else { None },
        conveyor: path("conveyor"),
        units: text("units").and_then(|name| Units::named(&name)),
        format: matches.get_one::<GaugeFormat>("format").copied().unwrap_or_default(),
        rules: path("rules"),
        plain: PlainArg { plain: matches.get_flag("plain") },
        repeat: matches.get_one::<u32>("repeat").copied().unwrap_or(1),
        state: path("state"),
    }
}

/// A reading's flag: its key as people write flags.
pub fn flag(key: &str) -> String {
    key.replace('_', "-")
}

fn has_table(gauge: &Gauge) -> bool {
    gauge.ways.iter().any(|way| way.rows.is_some())
}

/// The single readings of all ways, each key once.
fn wanted(gauge: &'static Gauge) -> impl Iterator<Item = &'static Wanted> {
    let all: Vec<&Wanted> = gauge.ways.iter().flat_map(|way| way.wanted).collect();
    let mut once: Vec<&Wanted> = Vec::new();
    for wanted in all {
        if !once.iter().any(|before| before.key == wanted.key) {
            once.push(wanted);
        }
    }
    once.into_iter()
}

fn subcommand(gauge: &'static Gauge) -> Command {
    let mut command = Command::new(gauge.id)
        .about(gauge.about)
        .before_help(examples::gauge(gauge.id))
        .after_help(format!("How sizes are written:\n  {}", quantity::WRITTEN.join("\n  ")));
    if gauge.ways.len() > 1 {
        command = command.arg(by(gauge));
    }
    for wanted in wanted(gauge) {
        let mut arg = Arg::new(wanted.key.as_str())
            .long(flag(wanted.key.as_str()))
            .value_name(value_name(wanted.takes))
            .action(clap::ArgAction::Append)
            .allow_hyphen_values(true)
            .help(plain_sides(wanted.ask));
        if let Takes::Choice(words) = wanted.takes {
            arg = arg.value_parser(PossibleValuesParser::new(words.iter().map(|(word, _)| *word)));
            arg = arg.action(clap::ArgAction::Set);
        }
        command = command.arg(arg);
    }
    if has_table(gauge) {
        command = command.arg(csv(gauge));
    }
    own_flags(command)
}

/// The table's flag.
fn csv(gauge: &'static Gauge) -> Arg {
    let tables = gauge.ways.iter().filter_map(|way| way.rows.as_ref());
    let keys = |rows: &Rows| {
        let keys: Vec<&str> = rows.columns.iter().map(|column| column.key.as_str()).collect();
        keys.join(", ")
    };
    let mut columns: Vec<String> = tables.map(keys).collect();
    columns.dedup();
    Arg::new("csv").long("csv").value_name("FILE").value_parser(value_parser!(PathBuf)).help(format!(
        "A table of readings, - for standard input; the first line names the columns ({}), with a unit if wished: offset [mm]",
        columns.join("; or ")
    ))
}

/// The flag for the way of measuring.
fn by(gauge: &'static Gauge) -> Arg {
    let ways: Vec<String> =
        gauge.ways.iter().map(|way| format!("{}: {}", way.id, plain_sides(way.title))).collect();
    Arg::new("by")
        .long("by")
        .value_name("WAY")
        .value_parser(PossibleValuesParser::new(gauge.ways.iter().map(|way| way.id)))
        .help(format!("How it is measured. {}", ways.join("; ")))
}

fn plain_sides(text: &str) -> String {
    text.replace("{left}", "left").replace("{right}", "right")
}

/// The flags that every gauge has.
fn own_flags(command: Command) -> Command {
    let file = || value_parser!(PathBuf);
    command
        .arg(Arg::new("conveyor").long("conveyor").value_name("FILE").value_parser(file()).help(
            "What is known of the conveyor (RON or JSON): readings it holds need not be given",
        ))
        .arg(
            Arg::new("units")
                .long("units")
                .value_name("UNITS")
                .value_parser(PossibleValuesParser::new(
                    Units::ALL.iter().map(|units| units.word()),
                ))
                .help(
                    "Units to type and to show [default: the conveyor's, else metric]",
                ),
        )
        .arg(
            Arg::new("format")
                .long("format")
                .value_name("FORMAT")
                .value_parser(value_parser!(GaugeFormat))
                .help("How the result is printed"),
        )
        .arg(
            Arg::new("rules")
                .long("rules")
                .value_name("DIR")
                .value_parser(file())
                .help("A site's folder of rule files, laid over the default rule book"),
        )
        .arg(
            Arg::new("repeat")
                .long("repeat")
                .value_name("N")
                .value_parser(value_parser!(u32).range(1..=20))
                .help("Each reading is taken so often: the mean counts, and the error is taken from the spread"),
        )
        .arg(Arg::new("state").long("state").value_name("DIR").value_parser(file()).help(
            "Where a site's rules are found [default: STRAYBELT_STATE, or the user's state folder]",
        ))
        .arg(
            Arg::new("plain")
                .long("plain")
                .num_args(0)
                .action(clap::ArgAction::SetTrue)
                .help("Plain lines, no line editing: for a serial line or a screen reader"),
        )
}

/// What stands for a reading's value in the help.
fn value_name(takes: Takes) -> &'static str {
    use quantity::Kind;
    match takes {
        Takes::Count => "NUMBER",
        Takes::Side => "SIDE",
        Takes::Choice(_) => "WORD",
        Takes::Label => "NAME",
        Takes::Positive(kind) | Takes::NotNegative(kind) | Takes::Signed(kind) => match kind {
            Kind::Length => "LENGTH",
            Kind::Distance => "DISTANCE",
            Kind::Force => "FORCE",
            Kind::Modulus => "MODULUS",
            Kind::Rated => "TENSION",
            Kind::Speed => "SPEED",
            Kind::LineMass => "MASS",
            Kind::Temperature => "DEGREES",
            Kind::Angle => "ANGLE",
            Kind::Time => "TIME",
            Kind::Percent => "PERCENT",
            _ => "NUMBER",
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_reading_takes_the_name_of_a_flag_that_every_gauge_has() {
        for gauge in gauge::ALL {
            for wanted in gauge.ways.iter().flat_map(|way| way.wanted) {
                assert!(
                    !OWN_FLAGS.contains(&wanted.key.as_str()),
                    "{} {}",
                    gauge.id,
                    wanted.key.as_str()
                );
            }
        }
    }

    #[test]
    fn readings_of_one_name_take_the_same_in_all_ways_of_a_gauge() {
        for gauge in gauge::ALL {
            let all = || gauge.ways.iter().flat_map(|way| way.wanted);
            for (one, other) in all().flat_map(|one| all().map(move |other| (one, other))) {
                if one.key == other.key {
                    assert_eq!(one.takes, other.takes, "{} {}", gauge.id, one.key.as_str());
                }
            }
        }
    }
}
