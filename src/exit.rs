//! How the program ends.

use std::process::ExitCode;

/// The exit codes that scripts may rely on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Everything asked for was done.
    Done,
    /// A check or test found problems.
    Problems,
    /// Wrong use, or a file named by the user that is missing, unreadable or wrong.
    Usage,
    /// The rule book does not load.
    Rules,
    /// The state folder cannot be read or written.
    State,
    /// Interrupted from the keyboard.
    Interrupted,
}

impl Exit {
    /// The number.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Problems => 1,
            Self::Usage => 2,
            Self::Rules => 3,
            Self::State => 4,
            Self::Interrupted => 130,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

#[cfg(test)]
mod tests {
    use super::Exit;

    #[test]
    fn the_numbers_are_those_of_the_formats_page() {
        let all =
            [Exit::Done, Exit::Problems, Exit::Usage, Exit::Rules, Exit::State, Exit::Interrupted];
        assert_eq!(all.map(Exit::code), [0, 1, 2, 3, 4, 130]);
    }
}
