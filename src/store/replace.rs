//! Putting a whole file in the place of another.

use std::io::Write;
use std::path::Path;

use super::error::StoreError;
use super::private::{private_folder, sync_folder_of};

/// Writes a private file beside its place, waits until it is on the disk and moves it there: at every moment there is
/// the whole old file or the whole new one.
///
/// # Errors
/// If it cannot be written; the old file is then untouched.
pub fn replace_file(path: &Path, text: &str) -> Result<(), StoreError> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    private_folder(folder)?;
    let write = || -> std::io::Result<()> {
        // Temporary files are made readable by their owner alone.
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(path)?;
        sync_folder_of(path);
        Ok(())
    };
    write().map_err(|error| StoreError::write(path, error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cans").join("grams.json");
        replace_file(&path, "{}").unwrap();
        replace_file(&path, "{\"a\":1}").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "{\"a\":1}");
        assert_eq!(std::fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }
}
