//! Every warning, seen where it is called for and missed where it is not: two scenes a warning, as like as can be.
//!
//! What a scene is judged by are the rules of the profile; whether those are right is asked elsewhere (`practice`,
//! `reference`). A finding that is new in `src` has to get its two scenes here.

mod air;
mod bench_air;
mod coats;
mod evening;
mod fit;
mod forecast;
mod page;
mod plan;
mod room;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use coatbell::finding::{Finding, Level};

use crate::support::level_of;

/// A warning with its two scenes.
struct Warning {
    code: &'static str,
    /// How severe it is where it is called for.
    level: Level,
    /// Everything noticed in a scene that calls for it.
    called_for: fn() -> Vec<Finding>,
    /// Everything noticed in a scene beside it that does not; `None` where every plan says it.
    not_called_for: Option<fn() -> Vec<Finding>>,
}

/// The scenes of a room of tests.
fn seen_and_missed(warnings: &[Warning]) {
    let mut wrong = Vec::new();
    for warning in warnings {
        let (told, beside) = ((warning.called_for)(), warning.not_called_for.map_or_else(Vec::new, |scene| scene()));
        let found = level_of(&told, warning.code);
        let codes = |all: &[Finding]| all.iter().map(|one| format!("{} {:?}", one.code, one.level)).collect::<Vec<_>>();
        if found != Some(warning.level) {
            wrong.push(format!("{}: {found:?} and not {:?} in {:?}", warning.code, warning.level, codes(&told)));
        }
        if let Some(found) = level_of(&beside, warning.code) {
            wrong.push(format!("{}: {found:?} where nothing calls for it in {:?}", warning.code, codes(&beside)));
        }
        for finding in told.iter().chain(&beside) {
            // Whoever is told to take care is told how.
            if finding.level >= Level::Care && finding.remedy.as_ref().is_none_or(String::is_empty) {
                wrong.push(format!("{}: no remedy: {}", finding.code, finding.text));
            }
            let begins = finding.text.starts_with(|letter: char| letter.is_uppercase() || letter.is_ascii_digit());
            if !begins || finding.text.ends_with('.') {
                wrong.push(format!("{}: no plain sentence: {}", finding.code, finding.text));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Codes that are put together before a finding is made, by the file that makes it.
const CHOSEN: [(&str, &[&str]); 4] = [
    ("air/judge.rs", &["air-15min", "air-short-term", "air-8h"]),
    ("page/pairs/told.rs", &["pair-avoid", "pair-care"]),
    ("page/ready/elapsed.rs", &["layer-wet"]),
    ("page/surface.rs", &["surface-avoid", "surface-care", "surface-cockle"]),
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries =
        std::fs::read_dir(folder).expect("a folder of the source").map(|entry| entry.expect("an entry").path());
    let (folders, files): (Vec<_>, Vec<_>) = entries.partition(|path| path.is_dir());
    let folders = folders.iter().filter(|folder| !folder.ends_with("tests"));
    files.into_iter().chain(folders.flat_map(|folder| sources(folder))).collect()
}

/// Codes of all findings that the source makes, and the files in which a code is not written where the finding is made.
fn made() -> (BTreeSet<String>, BTreeMap<String, String>) {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut codes, mut chosen) = (BTreeSet::new(), BTreeMap::new());
    for file in sources(&source) {
        let text = std::fs::read_to_string(&file).expect("a source file");
        let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
        let place = file.strip_prefix(&source).expect("below src").display().to_string().replace('\\', "/");
        for call in ["Finding::new(", "Finding::on("] {
            for made in code.split(call).skip(1) {
                match made.trim_start().strip_prefix('"').and_then(|rest| rest.split('"').next()) {
                    Some(literal) => drop(codes.insert(literal.to_owned())),
                    None => drop(chosen.insert(place.clone(), code.to_owned())),
                }
            }
        }
    }
    (codes, chosen)
}

#[test]
fn every_finding_of_the_source_has_its_two_scenes() {
    let (mut codes, chosen) = made();
    assert_eq!(
        chosen.keys().map(String::as_str).collect::<Vec<_>>(),
        CHOSEN.map(|(file, _)| file),
        "codes put together"
    );
    for (file, here) in CHOSEN {
        for code in here {
            assert!(chosen[file].contains(&format!("\"{code}\"")), "{file} no longer has {code}");
            codes.insert((*code).to_owned());
        }
    }
    assert!(codes.len() > 70, "{} codes found", codes.len());
    let all = [
        &air::WARNINGS[..],
        &bench_air::WARNINGS,
        &coats::WARNINGS,
        &evening::WARNINGS,
        &fit::WARNINGS,
        &forecast::WARNINGS,
        &page::WARNINGS,
        &plan::WARNINGS,
        &room::WARNINGS,
    ];
    let shown: BTreeSet<String> = all.iter().flat_map(|warnings| *warnings).map(|one| one.code.to_owned()).collect();
    let missing: Vec<&String> = codes.difference(&shown).collect();
    assert!(missing.is_empty(), "without scenes in tests/warnings: {missing:?}");
    let gone: Vec<&String> = shown.difference(&codes).collect();
    assert!(gone.is_empty(), "with scenes, but made nowhere: {gone:?}");
}
