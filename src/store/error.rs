//! What can go wrong with kept files.

use std::io;
use std::path::{Path, PathBuf};

use super::lock::Holder;

/// Why a file could not be written or read, as far as a person can do something about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The disk, or the user's share of it, is full.
    Full,
    /// The disk can only be read.
    ReadOnly,
    /// The rights do not allow it.
    Denied,
    /// Anything else.
    Other,
}

impl Trouble {
    /// What the system's error means.
    pub fn of(error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => Self::Full,
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly,
            io::ErrorKind::PermissionDenied => Self::Denied,
            _ => Self::Other,
        }
    }

    /// What to do about it.
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Full => "make room on the disk",
            Self::ReadOnly => "the disk can only be read: set COATBELL_STATE to a folder that can be written",
            Self::Denied => "the folder belongs to someone else: set COATBELL_STATE to a folder of your own",
            Self::Other => "set COATBELL_STATE to a folder that can be written",
        }
    }
}

/// What can go wrong with kept files.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The system has no folder for this user.
    #[error("this system has no folder for what a program keeps")]
    NoFolder,
    /// It could not be read.
    #[error("cannot read `{}`: {source}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// It could not be written.
    #[error("cannot write `{}`: {source}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Someone else is writing it.
    #[error("{}", held(path, holder.as_ref()))]
    Held {
        /// The lock.
        path: PathBuf,
        /// Who holds it, if that can be read.
        holder: Option<Holder>,
    },
    /// A line in the middle is no JSON object.
    #[error("line {line} of `{}` is damaged", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
    },
    /// It belongs to another user.
    #[error("`{}` belongs to another user of this machine", path.display())]
    NotYours {
        /// The file.
        path: PathBuf,
    },
}

impl StoreError {
    pub(super) fn read(path: &Path, source: io::Error) -> Self {
        Self::Read { path: path.to_owned(), source }
    }

    pub(super) fn write(path: &Path, source: io::Error) -> Self {
        Self::Write { path: path.to_owned(), source }
    }

    /// Short stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoFolder => "no-folder",
            Self::Read { .. } => "cannot-read",
            Self::Write { .. } => "cannot-write",
            Self::Held { .. } => "held",
            Self::Damaged { .. } => "damaged",
            Self::NotYours { .. } => "not-yours",
        }
    }

    /// What kind of trouble the disk is in.
    pub fn trouble(&self) -> Trouble {
        match self {
            Self::Read { source, .. } | Self::Write { source, .. } => Trouble::of(source),
            Self::NotYours { .. } => Trouble::Denied,
            _ => Trouble::Other,
        }
    }

    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            Self::NoFolder => "set COATBELL_STATE to a folder that can be written".to_owned(),
            Self::Held { .. } => "go to that window, or end it there first".to_owned(),
            Self::Damaged { path, .. } => {
                format!("move `{}` away, or take the damaged line out by hand", path.display())
            }
            Self::NotYours { .. } => "set COATBELL_STATE to a folder of your own".to_owned(),
            Self::Read { .. } | Self::Write { .. } => self.trouble().remedy().to_owned(),
        }
    }
}

fn held(path: &Path, holder: Option<&Holder>) -> String {
    match holder {
        Some(holder) => {
            format!("{} is already at it (process {}, since {})", holder.what, holder.process, holder.since)
        }
        None => format!("`{}` is held by another process", path.display()),
    }
}
