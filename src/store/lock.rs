//! A lock that says who holds it.

use std::fs::{File, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::error::StoreError;
use super::private::open_private;

/// How often, and how long in between, a lock that somebody else has for a moment is tried again.
const TRIES: u32 = 60;
const BETWEEN: Duration = Duration::from_millis(50);

/// Who holds a lock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Holder {
    /// What it is doing, as the start of a sentence: `The run of "Heron"`.
    pub what: String,
    /// Its process.
    pub process: u32,
    /// Since when, as a person reads it.
    pub since: String,
}

/// A lock held until this is dropped, or until the process ends, however it ends.
#[derive(Debug)]
pub struct Lock {
    file: File,
    path: PathBuf,
}

impl Lock {
    /// Takes the lock at once, or says who has it. The file of the lock stays behind; it means nothing by itself.
    ///
    /// # Errors
    /// [`StoreError::Held`] with the holder; else if the file cannot be made.
    pub fn take(path: &Path, holder: &Holder) -> Result<Self, StoreError> {
        let mut file = open_private(path)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let mut text = String::new();
                let _ = file.read_to_string(&mut text);
                let holder = serde_json::from_str(&text).ok();
                return Err(StoreError::Held { path: path.to_owned(), holder });
            }
            Err(TryLockError::Error(error)) => return Err(StoreError::write(path, error)),
        }
        // The name is a courtesy: on a full disk the lock holds all the same.
        let text = serde_json::to_string(holder).unwrap_or_default();
        let _ = file.rewind().and_then(|()| file.set_len(0)).and_then(|()| file.write_all(text.as_bytes()));
        Ok(Self { file, path: path.to_owned() })
    }

    /// Takes a lock that others hold for a moment only, as what is read, changed and written back needs: tries again for
    /// three seconds.
    ///
    /// # Errors
    /// As [`Lock::take`], when it is still held then.
    pub fn wait_for(path: &Path, holder: &Holder) -> Result<Self, StoreError> {
        let mut tries = 0;
        loop {
            match Self::take(path, holder) {
                Err(StoreError::Held { .. }) if tries < TRIES => {
                    tries += 1;
                    std::thread::sleep(BETWEEN);
                }
                taken => return taken,
            }
        }
    }

    /// Whether someone holds the lock at this moment, and who.
    pub fn holder(path: &Path) -> Option<Holder> {
        let mut file = File::open(path).ok()?;
        match file.try_lock_shared() {
            Ok(()) => None,
            Err(_) => {
                let mut text = String::new();
                file.read_to_string(&mut text).ok()?;
                serde_json::from_str(&text).ok()
            }
        }
    }

    /// The file of the lock.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = self.file.set_len(0);
        let _ = self.file.unlock();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holder(what: &str) -> Holder {
        Holder { what: what.to_owned(), process: 7, since: "14:00".to_owned() }
    }

    #[test]
    fn the_second_is_told_who_was_first() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep").join("one.lock");
        let first = Lock::take(&path, &holder("The run of \"Heron\"")).unwrap();
        assert_eq!(Lock::holder(&path), Some(holder("The run of \"Heron\"")));
        let error = Lock::take(&path, &holder("Another")).unwrap_err();
        assert_eq!(error.to_string(), "The run of \"Heron\" is already at it (process 7, since 14:00)");
        drop(first);
        assert_eq!(Lock::holder(&path), None);
        Lock::take(&path, &holder("Another")).unwrap();
    }
}
