//! Why a command came to nothing.

use std::io;

use crate::exit::Exit;

/// Why a command, or a part of it, came to nothing.
#[derive(Debug)]
pub(super) enum Failed {
    /// What it has to say cannot be written.
    Output(io::Error),
    /// The person was told why; the program ends so.
    Told(Exit),
}

impl Failed {
    /// After something was told: the program ends with this, and whoever wanted a value gets none.
    pub(super) fn told<T>(exit: Exit) -> Result<T, Self> {
        Err(Self::Told(exit))
    }

    /// How the program ends.
    ///
    /// # Errors
    /// If the output cannot be written.
    pub(super) fn exit(ended: Result<Exit, Self>) -> io::Result<Exit> {
        match ended {
            Ok(exit) | Err(Self::Told(exit)) => Ok(exit),
            Err(Self::Output(error)) => Err(error),
        }
    }
}

impl From<io::Error> for Failed {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}

impl From<serde_json::Error> for Failed {
    fn from(error: serde_json::Error) -> Self {
        Self::Output(error.into())
    }
}
