//! Arguments of `rules`: what a supervisor does with the rule book.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::examples;
use super::shared::ReportFormat;
use super::views::{GraphArgs, PrintArgs, SeparateArgs, ShowArgs};
use super::writing::{LearnArgs, NewArgs};

/// Arguments of `rules`.
#[derive(Debug, Args)]
pub struct RulesArgs {
    /// What to do with the rules.
    #[command(subcommand)]
    pub command: RulesCommand,
}

/// The subcommands of `rules`.
#[derive(Debug, Subcommand)]
pub enum RulesCommand {
    /// Read the rule files and report everything that is wrong with them.
    ///
    /// A folder with a book.ron is a whole rule book; any other is laid over the default one.
    #[command(before_help = examples::CHECK)]
    Check(CheckArgs),
    /// Write the default rule book's files to a folder, or the compiled book to standard output.
    #[command(before_help = examples::EXPORT)]
    Export(ExportArgs),
    /// Run the cases: does the book still make of known answers what it should?
    ///
    /// Runs the cases in the book's folder `cases` and in the site's own.
    #[command(before_help = examples::TEST)]
    Test(TestArgs),
    /// Tell what no case exercises.
    #[command(before_help = examples::COVERAGE)]
    Coverage(CoverageArgs),
    /// Compare two rule books: every case of both, and visits drawn from the old one, worst change first.
    ///
    /// OLD and NEW are folders of rules, or `default` for the default book. With --what-if a book is compared
    /// with itself, one likelihood changed; no file is touched. Exit code 1 if a case held by OLD and fails by NEW.
    #[command(before_help = examples::COMPARE)]
    Compare(CompareArgs),
    /// List all ids by kind.
    #[command(before_help = examples::LIST)]
    List(ListArgs),
    /// Write a JSON schema of the rule files: fields, words, and what each is for.
    ///
    /// Of a whole folder as data, or of one kind of file. Ids are not in it; `rules check` knows them.
    #[command(before_help = examples::SCHEMA)]
    Schema(SchemaArgs),
    /// Tell what one rule book changes in another: added, changed, switched off, each with its source and its place.
    ///
    /// With one folder: what it changes in the default book.
    #[command(before_help = examples::DIFF)]
    Diff(DiffArgs),
    /// Sign a rule book off: check, test, coverage, compare and trial on one page, and a record beside the book.
    ///
    /// Cases and trial are held against the book that was signed last. The record is bound to the fingerprint of the
    /// texts; a visit with this very book says who signed it. Exit code 1 if anything speaks against it.
    #[command(before_help = examples::SIGN_OFF)]
    SignOff(SignOffArgs),
    /// Measure how soon and how well the questions find the cause, by visits drawn from the rule book itself.
    ///
    /// Each visit is played to its end by the program's own way of asking and by others. It tells how often the
    /// leading cause was right, and how many questions and minutes it took. It tells whether stated chances come true.
    #[command(alias = "policy", before_help = examples::PACE)]
    Pace(PaceArgs),
    /// Try the rule book on conveyors with hidden causes, where the belt answers from a mechanical model.
    ///
    /// Each is put right by the program's own questions and plan, without looking. It tells how often that was right,
    /// and whether it ever sent anybody the wrong way. The causes it did worst on are named.
    #[command(before_help = examples::TRIAL)]
    Trial(TrialArgs),
    /// Tell what the rule book's questions cannot tell apart.
    ///
    /// Pairs of causes that no answers part, with the best question and after how many minutes; answers that
    /// change nothing; symptoms that say nearly the same thing; questions never worth their minutes.
    #[command(before_help = examples::SEPARATE)]
    Separate(SeparateArgs),
    /// Show everything about one entry of the rule book.
    ///
    /// A symptom, look, cause, fix, caution, source or term. It shows the text, the conditions and the source. It shows
    /// the links in and out with the words and numbers of their likelihoods, and the cases that touch it.
    #[command(before_help = examples::SHOW)]
    Show(ShowArgs),
    /// Draw the decision graph: what leads to what.
    ///
    /// Around one entry, or the whole book. A picture around an entry fits one page; what does not fit is
    /// counted, weakest first.
    #[command(before_help = examples::GRAPH)]
    Graph(GraphArgs),
    /// Print the whole book as a handbook, to read and to sign off.
    ///
    /// A title page with lines to sign, safety, contents, a page for each cause, then looks, questions, fixes,
    /// cautions, glossary and sources. The HTML is one file that needs nothing else; print it from a browser.
    #[command(before_help = examples::PRINT)]
    Print(PrintArgs),
    /// Write a new entry of the site's rules, a case, or the site's own file, asked for line by line.
    ///
    /// Writes one commented file into the site's folder, never over one that is there, and checks it at once.
    #[command(before_help = examples::NEW)]
    New(NewArgs),
    /// Learn from finished visits: how often each cause really was it, and how the answers came when it was.
    ///
    /// Compares them with the rule book's numbers and proposes other words only where enough visits say so. No
    /// file is changed.
    #[command(before_help = examples::LEARN)]
    Learn(LearnArgs),
}

/// Arguments of `rules check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// How to print problems.
    #[arg(long, value_enum, default_value_t = CheckFormat::Human)]
    pub format: CheckFormat,
    /// Exit code 1 for errors alone, not for warnings.
    #[arg(long)]
    pub errors_only: bool,
    /// Check again whenever a rule file changes, until Ctrl-C.
    #[arg(long, requires = "dir")]
    pub watch: bool,
}

/// Arguments of `rules list`.
#[derive(Debug, Args)]
pub struct ListArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// Only this kind: cause, symptom, look, fix, caution, source, term, tool, case, drill.
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
}

/// Arguments of `rules schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Only this kind of file: causes, fixes, site, conveyor, answers and so on.
    pub kind: Option<String>,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// How problems are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// With the lines and what to do.
    Human,
    /// One line each.
    Plain,
    /// One JSON document.
    Json,
}

/// Arguments of `rules export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The folder to write the default rule book's files to.
    #[arg(required_unless_present = "format", conflicts_with = "format")]
    pub dir: Option<PathBuf>,
    /// Print the compiled book instead.
    #[arg(long, value_enum)]
    pub format: Option<ExportFormat>,
    /// A site's folder of rule files.
    #[arg(long, value_name = "DIR", requires = "format")]
    pub rules: Option<PathBuf>,
    /// The conveyor (RON or JSON) whose belt turns and length the minutes of looks count.
    #[arg(long, value_name = "FILE", requires = "format")]
    pub conveyor: Option<PathBuf>,
}

/// What is printed of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportFormat {
    /// The compiled network, for other programs.
    Json,
    /// The decision graph, for drawing programs.
    Dot,
}

/// Arguments of `rules test`.
#[derive(Debug, Clone, Args)]
pub struct TestArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// Only cases with this text in their id or title; may be given again.
    #[arg(long, value_name = "TEXT")]
    pub filter: Vec<String>,
    /// Run again whenever a rule file changes, until Ctrl-C.
    #[arg(long, requires = "dir", conflicts_with = "accept")]
    pub watch: bool,
    /// Write what came into the case files, in place of what was expected. Comments stay.
    #[arg(long, requires = "dir")]
    pub accept: bool,
    /// Fail (exit code 1) if a larger share of the cases rests, per cent: those that name what the site has switched
    /// off.
    #[arg(long, value_name = "PER CENT", default_value_t = 20.0)]
    pub most_at_rest: f64,
    /// How the result is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
}

/// Arguments of `rules coverage`.
#[derive(Debug, Clone, Args)]
pub struct CoverageArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// Fail (exit code 1) if less is exercised, per cent.
    #[arg(long, value_name = "PER CENT")]
    pub min: Option<f64>,
    /// How the result is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
}

/// Arguments of `rules compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// The old rules: a folder, or `default`.
    #[arg(required_unless_present = "what_if")]
    pub old: Option<PathBuf>,
    /// The new rules: a folder, or `default`.
    #[arg(required_unless_present = "what_if", conflicts_with = "what_if")]
    pub new: Option<PathBuf>,
    /// Compare OLD with itself, this changed: cause.symptom=often, cause.symptom.answer=often,
    /// cause.how-common=rare, or a number; may be given again.
    #[arg(long, value_name = "CHANGE")]
    pub what_if: Vec<String>,
    /// The visits, and how the figures are printed.
    #[command(flatten)]
    pub draws: DrawArgs,
}

/// Arguments of `rules diff`.
#[derive(Debug, Args)]
pub struct DiffArgs {
    /// The old rules and the new ones: folders, or `default`. One alone is held against the default book.
    #[arg(required = true, num_args = 1..=2, value_name = "DIR")]
    pub books: Vec<PathBuf>,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
}

/// Arguments of `rules sign-off`.
#[derive(Debug, Args)]
pub struct SignOffArgs {
    /// The folder of rule files that is signed.
    pub dir: PathBuf,
    /// Who signs: name and office.
    #[arg(long, value_name = "NAME")]
    pub by: String,
    /// How many conveyors are drawn for the trial.
    #[arg(long, default_value_t = 100, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub runs: u32,
    /// The least that cases must exercise, per cent.
    #[arg(long, default_value_t = 90.0, value_name = "PER CENT")]
    pub min: f64,
}

/// Arguments of `rules pace`.
#[derive(Debug, Args)]
pub struct PaceArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// Say whether it is better or worse than this one on the same visits: a folder, or `default`. Exit code 1 if worse.
    #[arg(long, value_name = "OLD")]
    pub against: Option<PathBuf>,
    /// All visits to this conveyor (RON or JSON); without it conveyors are drawn too.
    #[arg(long, value_name = "FILE")]
    pub conveyor: Option<PathBuf>,
    /// Which ways of asking are played.
    #[arg(long, alias = "policy", value_enum, default_value_t = AskingOrders::All, value_name = "WHICH")]
    pub ways: AskingOrders,
    /// In how many visits the trouble is none of the book's causes: 0 to 0.95. They are answered as a conveyor without
    /// any would be, and count in no figure but their own.
    #[arg(long, default_value_t = 0.0, value_name = "P", value_parser = share_below_all)]
    pub other: f64,
    /// The visits, and how the figures are printed.
    #[command(flatten)]
    pub draws: DrawArgs,
}

/// Arguments of `rules trial`.
#[derive(Debug, Args)]
pub struct TrialArgs {
    /// A folder of rule files.
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
    /// Say whether it is better or worse than this one on the same conveyors: a folder, or `default`. Exit code 1 if
    /// worse.
    #[arg(long, value_name = "OLD", conflicts_with = "other")]
    pub against: Option<PathBuf>,
    /// How often things looked at before work cannot be told, in the mean over all people: 0 to 0.95. Each person has
    /// a share of his own for each way of knowing.
    #[arg(long, default_value_t = 0.0, value_name = "P", value_parser = share_below_all)]
    pub unsure: f64,
    /// How often a sign that is there is overlooked: 0 to 0.95.
    #[arg(long, default_value_t = 0.0, value_name = "P", value_parser = share_below_all)]
    pub miss: f64,
    /// Of how many conveyors the trouble is none of the book's causes: 0 to 0.95. They answer as a conveyor without any
    /// would, and count in no figure but their own.
    #[arg(long, default_value_t = 0.0, value_name = "P", value_parser = share_below_all)]
    pub other: f64,
    /// The visits, one to each conveyor, and how the figures are printed.
    #[command(flatten)]
    pub draws: DrawArgs,
}

/// Which ways of asking are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum AskingOrders {
    /// The program's own, and in the order of the book and in random order.
    All,
    /// The program's own alone.
    Own,
}

/// How many visits are drawn, and how figures about them are printed.
#[derive(Debug, Args)]
pub struct DrawArgs {
    /// How many visits are drawn.
    #[arg(long, default_value_t = 300, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=100_000))]
    runs: u32,
    /// The same seed draws the same visits.
    #[arg(long, default_value_t = 1, value_name = "S")]
    pub seed: u64,
    /// How the figures are printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
}

impl DrawArgs {
    /// How many visits are drawn.
    pub fn runs(&self) -> usize {
        self.runs as usize
    }
}

/// A share that leaves something.
fn share_below_all(typed: &str) -> Result<f64, String> {
    let share = typed.parse::<f64>().ok().filter(|share| (0.0..=0.95).contains(share));
    share.ok_or_else(|| "give a number from 0 to 0.95, such as 0.6".to_owned())
}
