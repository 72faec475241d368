//! What is left in the cans: kept by sealer, and counted by run, so that a coat is never counted twice.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::run::{CanUse, PageSpec};
use crate::store::{Folders, Holder, Lock, StoreError, replace_file};

/// The file of the cans.
#[derive(Debug, Clone)]
pub(in crate::cli) struct CanShelf {
    path: PathBuf,
}

/// One can.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
struct Can {
    /// What was in it before the runs below, g.
    base_g: f64,
    /// What the sealer's file said was left, when that was taken over.
    stated_g: Option<f64>,
    /// What each run took out of it, g.
    #[serde(default)]
    runs: BTreeMap<String, f64>,
    /// New cans each run began.
    #[serde(default)]
    new_cans: BTreeMap<String, u32>,
}

impl Can {
    fn left_g(&self) -> f64 {
        (self.base_g - self.runs.values().sum::<f64>()).max(0.0)
    }
}

impl CanShelf {
    /// The file below the state.
    pub(in crate::cli) fn of(folders: &Folders) -> Self {
        Self { path: folders.of("cans.json") }
    }

    /// What is left in the can of a sealer, g, if it is known.
    pub(in crate::cli) fn left_g(&self, sealer: &str) -> Option<f64> {
        self.read().get(sealer).map(Can::left_g)
    }

    /// Moves a file that cannot be read aside, so that it is not written over, and says where to. `None` if there is none.
    pub(super) fn set_aside(&self) -> Option<PathBuf> {
        let _alone = self.alone().ok()?;
        let text = std::fs::read(&self.path).ok()?;
        if serde_json::from_slice::<BTreeMap<String, Can>>(&text).is_ok() {
            return None;
        }
        let aside = |number: u32| self.path.with_file_name(format!("cans-damaged-{number}.json"));
        let free = (1..1000).map(aside).find(|path| !path.exists())?;
        std::fs::rename(&self.path, &free).ok().map(|()| free)
    }

    /// Takes over what the sealer's own file says, if it says something new, or a full can if nothing is known.
    pub(super) fn begin(&self, page: &PageSpec, stated_g: Option<f64>) -> Result<(), StoreError> {
        let _alone = self.alone()?;
        let mut cans = self.read();
        let known = cans.get(&page.sealer);
        let news = stated_g.filter(|stated| known.is_none_or(|can| can.stated_g != Some(*stated)));
        let base_g = match (news, known) {
            (Some(stated_g), _) => stated_g,
            (None, Some(_)) => return Ok(()),
            (None, None) => match page.can_net_g {
                Some(net_g) => net_g,
                None => return Ok(()),
            },
        };
        cans.insert(page.sealer.clone(), Can { base_g, stated_g, ..Can::default() });
        self.write(&cans)
    }

    /// Notes what a run took out so far. Said twice it counts once.
    pub(super) fn note(&self, run: &str, page: &PageSpec, used: CanUse) -> Result<(), StoreError> {
        let _alone = self.alone()?;
        let mut cans = self.read();
        let Some(can) = cans.get_mut(&page.sealer) else { return Ok(()) };
        let before = can.clone();
        if used.new_cans > can.new_cans.get(run).copied().unwrap_or(0) {
            *can = Can { base_g: page.can_net_g.unwrap_or(0.0), stated_g: can.stated_g, ..Can::default() };
            can.new_cans.insert(run.to_owned(), used.new_cans);
        }
        can.runs.insert(run.to_owned(), used.used_g);
        if used.dead {
            // What does not come out any more is not left.
            can.base_g = can.runs.values().sum();
        }
        if *can == before { Ok(()) } else { self.write(&cans) }
    }

    /// Two runs count at the same time: what one has read, the other must not have changed before it is written back.
    fn alone(&self) -> Result<Lock, StoreError> {
        let holder = Holder {
            what: "Counting what is left in the cans".into(),
            process: std::process::id(),
            since: String::new(),
        };
        Lock::wait_for(&self.path.with_extension("lock"), &holder)
    }

    fn read(&self) -> BTreeMap<String, Can> {
        let text = std::fs::read_to_string(&self.path).unwrap_or_default();
        serde_json::from_str(&text).unwrap_or_default()
    }

    fn write(&self, cans: &BTreeMap<String, Can>) -> Result<(), StoreError> {
        replace_file(&self.path, &serde_json::to_string_pretty(cans).unwrap_or_default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page() -> PageSpec {
        serde_json::from_value(serde_json::json!({
            "title": "Heron", "file": "heron.toml", "fingerprint": "", "sealer": "acrylic-gloss", "sealer_name": "",
            "can_net_g": 300.0, "verdict": "go", "answer": "", "paper": "cardstock", "first_at": "2026-11-28T14:00:00Z",
            "coats": [], "handle_after_s": 0, "later": [], "calendar": "",
        }))
        .unwrap()
    }

    #[test]
    fn runs_that_count_at_once_lose_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders { state: folder.path().into(), config: folder.path().into() };
        let shelf = CanShelf::of(&folders);
        shelf.begin(&page(), Some(300.0)).unwrap();
        std::thread::scope(|scope| {
            for run in 0..6 {
                let shelf = &shelf;
                scope.spawn(move || {
                    for used_g in 1..=5 {
                        let used = CanUse { used_g: f64::from(used_g), new_cans: 0, dead: false };
                        shelf.note(&format!("run {run}"), &page(), used).unwrap();
                    }
                });
            }
        });
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(300.0 - 6.0 * 5.0));
    }

    #[test]
    fn a_damaged_file_is_moved_aside_whole() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders { state: folder.path().into(), config: folder.path().into() };
        let shelf = CanShelf::of(&folders);
        assert_eq!(shelf.set_aside(), None, "there is no file yet");
        shelf.begin(&page(), Some(210.0)).unwrap();
        assert_eq!(shelf.set_aside(), None, "it can be read");
        for (round, broken) in ["{\"acrylic-gloss\": {\"base_g\": 2", "\u{fffd}"].into_iter().enumerate() {
            std::fs::write(&shelf.path, broken).unwrap();
            let aside = shelf.set_aside().expect("it is damaged");
            assert_eq!(aside, folder.path().join(format!("cans-damaged-{}.json", round + 1)));
            assert_eq!(std::fs::read_to_string(aside).unwrap(), broken);
            assert_eq!(shelf.left_g("acrylic-gloss"), None);
        }
        shelf.begin(&page(), Some(120.0)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(120.0));
    }

    #[test]
    fn grams_count_once_a_new_can_is_full_and_a_dead_one_empty() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders { state: folder.path().into(), config: folder.path().into() };
        let shelf = CanShelf::of(&folders);
        let page = page();
        shelf.begin(&page, Some(210.0)).unwrap();
        let used = |used_g, new_cans, dead| CanUse { used_g, new_cans, dead };
        shelf.note("one", &page, used(12.5, 0, false)).unwrap();
        shelf.note("one", &page, used(12.5, 0, false)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(197.5));
        shelf.note("two", &page, used(10.0, 0, false)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(187.5));
        // The file still says what it said: what was counted since stands.
        shelf.begin(&page, Some(210.0)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(187.5));
        shelf.note("two", &page, used(15.0, 0, true)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(0.0));
        shelf.note("two", &page, used(5.0, 1, false)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(295.0));
        shelf.begin(&page, Some(100.0)).unwrap();
        assert_eq!(shelf.left_g("acrylic-gloss"), Some(100.0));
    }
}
