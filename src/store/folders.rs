//! Where this user's files are.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;

use super::error::StoreError;

/// Environment variable that names the folder of runs, logs and counts.
pub const STATE_VARIABLE: &str = "COATBELL_STATE";
/// Environment variable that names the folder of the user's own settings.
pub const CONFIG_VARIABLE: &str = "COATBELL_CONFIG";

/// The folders of one user. They need not exist.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folders {
    /// What the program writes down: runs, history, the can's grams.
    pub state: PathBuf,
    /// What the user sets, and overlays of measured cans.
    pub config: PathBuf,
}

impl Folders {
    /// The folders of the platform, where the two overrides do not name others.
    ///
    /// # Errors
    /// [`StoreError::NoFolder`] if the platform has none, for instance without a home.
    pub fn find(state: Option<OsString>, config: Option<OsString>) -> Result<Self, StoreError> {
        let named = |given: Option<OsString>| given.filter(|path| !path.is_empty()).map(PathBuf::from);
        let (state, config) = (named(state), named(config));
        if let (Some(state), Some(config)) = (&state, &config) {
            return Ok(Self { state: state.clone(), config: config.clone() });
        }
        let platform = etcetera::choose_base_strategy().map_err(|_| StoreError::NoFolder)?;
        let own = |folder: PathBuf| folder.join("coatbell");
        Ok(Self {
            state: state.unwrap_or_else(|| own(platform.state_dir().unwrap_or_else(|| platform.data_dir()))),
            config: config.unwrap_or_else(|| own(platform.config_dir())),
        })
    }

    /// The folder of one kind of record below the state.
    pub fn of(&self, what: &str) -> PathBuf {
        Path::new(&self.state).join(what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overrides_win_and_empty_ones_do_not_count() {
        let folders = Folders::find(Some("/a/state".into()), Some("/a/config".into())).unwrap();
        assert_eq!(folders.of("runs"), Path::new("/a/state/runs"));
        if let Ok(folders) = Folders::find(Some("/a/state".into()), Some(String::new().into())) {
            assert!(folders.config.ends_with("coatbell"), "{folders:?}");
        }
    }
}
