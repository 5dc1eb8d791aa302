//! How wide lines may be. The terminal is asked here and nowhere else.

/// Columns where nobody says how many there are.
const USUAL: usize = 80;

/// How many columns there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Columns {
    /// So many.
    Fixed(usize),
    /// What `COLUMNS` says, else as many as the terminal has when they are asked for: a window that is drawn wider or
    /// narrower counts from the next page on.
    OfTerminal,
}

impl Columns {
    /// How many there are now; 80 if nobody says.
    pub fn now(self) -> usize {
        self.known().unwrap_or(USUAL)
    }

    /// How many there are now; nothing where neither `COLUMNS` nor a terminal says.
    pub fn known(self) -> Option<usize> {
        match self {
            Self::Fixed(columns) => Some(columns),
            Self::OfTerminal => told().or_else(cells),
        }
    }
}

fn told() -> Option<usize> {
    let told = std::env::var("COLUMNS").ok()?;
    told.trim().parse().ok().filter(|columns| *columns > 0)
}

/// The cells of a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cells {
    /// Rows from top to bottom.
    pub rows: usize,
    /// Cells in a row.
    pub columns: usize,
}

impl Cells {
    /// Those of the terminal itself, whatever `COLUMNS` says. None without a terminal, or where it does not say.
    pub fn of_terminal() -> Option<Self> {
        let size = terminal_size::terminal_size_of(std::io::stderr());
        let (columns, rows) = size.or_else(terminal_size::terminal_size)?;
        let cells = Self { rows: usize::from(rows.0), columns: usize::from(columns.0) };
        (cells.rows > 0 && cells.columns > 0).then_some(cells)
    }
}

/// The cells in a line of the terminal itself, whatever `COLUMNS` says: for lines that are drawn anew. None without a
/// terminal.
pub fn cells() -> Option<usize> {
    Cells::of_terminal().map(|cells| cells.columns)
}
