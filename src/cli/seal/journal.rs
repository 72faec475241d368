//! The journal while it is written: a disk that does not take it is said once, and the run goes on.

use std::path::{Path, PathBuf};

use crate::run::Entry;
use crate::store::{Lines, Log, StoreError};

/// The journal of the run under way.
#[derive(Debug)]
pub(super) struct Journal {
    path: PathBuf,
    log: Option<Log>,
    /// Entries the disk has not taken yet.
    waiting: Vec<Entry>,
    troubled: bool,
}

impl Journal {
    /// Opens a journal, and hands back what it holds.
    pub(super) fn open(path: &Path) -> Result<(Self, Lines), StoreError> {
        let (log, lines) = Log::open(path)?;
        Ok((Self { path: path.to_owned(), log: Some(log), waiting: Vec::new(), troubled: false }, lines))
    }

    /// A journal whose disk does not take it yet.
    pub(super) fn in_trouble(path: &Path) -> Self {
        Self { path: path.to_owned(), log: None, waiting: Vec::new(), troubled: false }
    }

    /// Writes an entry, and those that are waiting. Hands back what is to be said: trouble once when it begins, and
    /// `Ok(true)` once when it is over.
    pub(super) fn write(&mut self, entry: Entry) -> Result<bool, StoreError> {
        self.waiting.push(entry);
        self.flush()
    }

    /// Tries again what is waiting.
    pub(super) fn flush(&mut self) -> Result<bool, StoreError> {
        if self.waiting.is_empty() {
            return Ok(false);
        }
        match self.try_all() {
            Ok(()) => Ok(std::mem::take(&mut self.troubled)),
            Err(_) if self.troubled => Ok(false),
            Err(error) => {
                self.troubled = true;
                Err(error)
            }
        }
    }

    /// Its file.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// The name of the run.
    pub(super) fn name(&self) -> String {
        self.path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
    }

    /// Whether everything is on the disk.
    pub(super) fn whole(&self) -> bool {
        self.waiting.is_empty()
    }

    fn try_all(&mut self) -> Result<(), StoreError> {
        if self.log.is_none() {
            self.log = Some(Log::open(&self.path)?.0);
        }
        let Some(log) = &mut self.log else { return Ok(()) };
        while let Some(entry) = self.waiting.first() {
            log.append(&entry.line())?;
            self.waiting.remove(0);
        }
        Ok(())
    }
}
