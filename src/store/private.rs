//! Folders and files only this user can read.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::Path;

use super::error::StoreError;

/// Makes a folder, with those above it, readable by this user alone. One that exists is made so.
///
/// # Errors
/// If it cannot be made, or belongs to someone else.
pub fn private_folder(path: &Path) -> Result<(), StoreError> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path).map_err(|error| StoreError::write(path, error))?;
    belongs_to_us(path)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let rights = fs::metadata(path).map_err(|error| StoreError::read(path, error))?.permissions();
        // A folder that everyone may put files in, as `/tmp`, is left as it is: what is in it is private by its own rights.
        let shared = rights.mode() & 0o1000 != 0;
        if rights.mode() & 0o077 != 0 && !shared {
            let _ = fs::set_permissions(path, fs::Permissions::from_mode(0o700));
        }
    }
    Ok(())
}

/// Opens a file for reading and writing, making it, with its folder, if it is not there.
pub(super) fn open_private(path: &Path) -> Result<File, StoreError> {
    if let Some(folder) = path.parent() {
        private_folder(folder)?;
    }
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    plain(path)?;
    let file = options.open(path).map_err(|error| StoreError::write(path, error))?;
    belongs_to_us(path)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let _ = file.set_permissions(fs::Permissions::from_mode(0o600));
    }
    Ok(file)
}

/// Opens a file of this user for reading; `None` if there is none.
pub(super) fn open_own(path: &Path) -> Result<Option<File>, StoreError> {
    plain(path)?;
    match File::open(path) {
        Ok(file) => {
            belongs_to_us(path)?;
            Ok(Some(file))
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(StoreError::read(path, error)),
    }
}

/// Refuses a pipe, which would be waited on for ever, a device and a folder. What is not there is no trouble here.
fn plain(path: &Path) -> Result<(), StoreError> {
    match fs::metadata(path) {
        Ok(found) if !found.is_file() => {
            Err(StoreError::read(path, io::Error::new(io::ErrorKind::InvalidInput, "this is not a plain file")))
        }
        _ => Ok(()),
    }
}

/// Makes sure of the owner, of a link and of what it leads to: another user's run must not be taken for this one's, not even by the administrator.
#[cfg(unix)]
fn belongs_to_us(path: &Path) -> Result<(), StoreError> {
    use std::os::unix::fs::MetadataExt;
    let found = |error| StoreError::read(path, error);
    let owners = [fs::metadata(path).map_err(found)?.uid(), fs::symlink_metadata(path).map_err(found)?.uid()];
    if owners == [rustix::process::geteuid().as_raw(); 2] {
        Ok(())
    } else {
        Err(StoreError::NotYours { path: path.to_owned() })
    }
}

/// Elsewhere the folder of the user's profile is private already.
#[cfg(not(unix))]
fn belongs_to_us(_path: &Path) -> Result<(), StoreError> {
    Ok(())
}

/// Puts the entry of a new file on the disk, so that a loss of power does not take it back.
pub(super) fn sync_folder_of(path: &Path) {
    #[cfg(unix)]
    if let Some(folder) = path.parent()
        && let Ok(folder) = File::open(folder)
    {
        // Some file systems cannot; the file itself is synced in any case.
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = path;
}
