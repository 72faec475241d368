//! An append-only file of JSON objects, one a line.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::de::IgnoredAny;

use super::error::StoreError;
use super::private::{open_own, open_private, sync_folder_of};

/// What a log holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lines {
    /// Each a whole JSON value, without its line end.
    pub lines: Vec<String>,
    /// Whether the end was torn: the process or the machine went down while it wrote. What was torn was never said to
    /// be kept, and is left out.
    pub torn: bool,
    /// Bytes of the whole lines.
    whole: u64,
    /// The last line lacks its end only.
    lacks_end: bool,
}

/// A log open for writing. Two writers at once must be kept apart by a [`super::Lock`].
#[derive(Debug)]
pub struct Log {
    file: File,
    path: PathBuf,
    end: u64,
    lacks_end: bool,
}

impl Log {
    /// Opens a log, making it if it is not there, and hands back what it holds. A torn end is cut off.
    ///
    /// # Errors
    /// If it cannot be read or written, is damaged before its end, or belongs to someone else.
    pub fn open(path: &Path) -> Result<(Self, Lines), StoreError> {
        let mut file = open_private(path)?;
        let lines = parse(path, &mut file)?;
        let mut log = Self { file, path: path.to_owned(), end: lines.whole, lacks_end: lines.lacks_end };
        if lines.torn {
            log.cut().map_err(|error| StoreError::write(path, error))?;
        }
        if lines.lines.is_empty() {
            sync_folder_of(path);
        }
        Ok((log, lines))
    }

    /// Appends one JSON object and waits until it is on the disk.
    ///
    /// # Errors
    /// If the disk does not take it; the log is then as it was before, and the next line may be tried.
    ///
    /// # Panics
    /// Never with a line written by `serde_json`: it holds no line end.
    pub fn append(&mut self, line: &str) -> Result<(), StoreError> {
        assert!(!line.contains('\n'), "a line of a log holds no line end");
        let lead = if self.lacks_end { "\n" } else { "" };
        let bytes = format!("{lead}{line}\n");
        match self.write(bytes.as_bytes()) {
            Ok(()) => {
                self.end += bytes.len() as u64;
                self.lacks_end = false;
                Ok(())
            }
            Err(error) => {
                let _ = self.cut();
                Err(StoreError::write(&self.path, error))
            }
        }
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(self.end))?;
        self.file.write_all(bytes)?;
        self.file.sync_data()
    }

    fn cut(&mut self) -> io::Result<()> {
        self.file.set_len(self.end)?;
        self.file.sync_data()
    }
}

/// Reads a log without writing to it; one that is not there is empty.
///
/// # Errors
/// If it cannot be read, is damaged before its end, or belongs to someone else.
pub fn read_lines(path: &Path) -> Result<Lines, StoreError> {
    match open_own(path)? {
        Some(mut file) => parse(path, &mut file),
        None => Ok(Lines::default()),
    }
}

fn parse(path: &Path, file: &mut File) -> Result<Lines, StoreError> {
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(|error| StoreError::read(path, error))?;
    let mut found = Lines::default();
    let mut bad: Option<usize> = None;
    let mut at = 0;
    for (number, piece) in bytes.split_inclusive(|byte| *byte == b'\n').enumerate() {
        at += piece.len() as u64;
        let ended = piece.ends_with(b"\n");
        let text = std::str::from_utf8(piece).ok().map(str::trim_end);
        match text.filter(|text| is_object(text)) {
            Some(text) => {
                if let Some(line) = bad {
                    return Err(StoreError::Damaged { path: path.to_owned(), line });
                }
                found.lines.push(text.to_owned());
                found.whole = at;
                found.lacks_end = !ended;
            }
            None => bad = bad.or(Some(number + 1)),
        }
    }
    found.torn = bad.is_some();
    Ok(found)
}

fn is_object(text: &str) -> bool {
    text.starts_with('{') && serde_json::from_str::<IgnoredAny>(text).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log_of(text: &[u8]) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.jsonl");
        std::fs::write(&path, text).unwrap();
        (folder, path)
    }

    #[test]
    fn cut_anywhere_it_holds_the_whole_lines_and_goes_on() {
        let whole = "{\"n\":1}\n{\"n\":2,\"say\":\"é\"}\n{\"n\":3}\n";
        for cut in 0..=whole.len() {
            let kept = &whole.as_bytes()[..cut];
            let (_folder, path) = log_of(kept);
            // A line that lacks nothing but its end is whole.
            let expected = whole.lines().scan(0, |end, line| {
                *end += line.len() + 1;
                Some((*end - 1 <= cut).then_some(line.to_owned()))
            });
            let expected: Vec<String> = expected.flatten().collect();
            let (mut log, lines) = Log::open(&path).unwrap();
            assert_eq!(lines.lines, expected, "cut at {cut}");
            log.append("{\"n\":4}").unwrap();
            let again = read_lines(&path).unwrap();
            assert!(!again.torn, "cut at {cut}");
            assert_eq!(again.lines.len(), expected.len() + 1, "cut at {cut}");
            assert_eq!(again.lines.last().unwrap(), "{\"n\":4}");
        }
    }

    #[test]
    fn zeros_after_a_loss_of_power_are_a_torn_end_but_damage_in_the_middle_is_said() {
        let (_folder, path) = log_of(b"{\"n\":1}\n\0\0\0\0");
        assert!(read_lines(&path).unwrap().torn);
        let (_folder, path) = log_of(b"{\"n\":1}\n{\"n\":\n{\"n\":3}\n");
        assert!(matches!(read_lines(&path), Err(StoreError::Damaged { line: 2, .. })));
        assert!(read_lines(Path::new("/nowhere/at/all")).unwrap().lines.is_empty());
    }

    #[cfg(unix)]
    #[test]
    fn only_this_user_can_read_it() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("runs").join("log.jsonl");
        Log::open(&path).unwrap().0.append("{}").unwrap();
        let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&path), mode(path.parent().unwrap())), (0o600, 0o700));
    }

    /// A device that is always full takes the place of a full disk.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_full_disk_is_said_as_that() {
        let file = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let mut log = Log { file, path: "/dev/full".into(), end: 0, lacks_end: false };
        let error = log.append("{}").unwrap_err();
        assert_eq!(error.trouble(), crate::store::Trouble::Full);
        assert_eq!((log.end, error.code()), (0, "cannot-write"));
    }
}
