//! How the program ends.

use std::process::ExitCode;

use crate::finding::Level;

/// What the exit code tells the shell. One meaning each; listed in `--help`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Done: the answer is `go` or `care`.
    Done,
    /// It could not be done, or a check failed.
    Failed,
    /// Wrong usage.
    Usage,
    /// An input file is invalid.
    InvalidInput,
    /// The answer is `hold`; it was still printed.
    Hold,
    /// Ended by Ctrl-C; what was under way is kept.
    Interrupted,
    /// Ended by a request from outside; what was under way is kept.
    Terminated,
}

impl Exit {
    /// The number the shell sees.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Failed => 1,
            Self::Usage => 2,
            Self::InvalidInput => 3,
            Self::Hold => 4,
            Self::Interrupted => 130,
            Self::Terminated => 143,
        }
    }

    /// The end of a command whose answer has that level; with `exit_zero`, `hold` ends like `go`.
    pub fn of(verdict: Level, exit_zero: bool) -> Self {
        if verdict == Level::Hold && !exit_zero { Self::Hold } else { Self::Done }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}
