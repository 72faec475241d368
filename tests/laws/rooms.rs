//! The rooms of the house know their place: the code imports what the map in DEVELOPERS.md allows, and nothing else.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Where clap, the exit code and the whole library meet.
const ROOF: &str = "main.rs";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The floor of every room on the map: rows of `| 8 | `report` | … |`.
fn floors() -> BTreeMap<String, u32> {
    let map = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("the map");
    let mut floors = BTreeMap::new();
    for line in map.lines() {
        let mut cells = line.trim_matches('|').split('|').map(str::trim);
        let (Some(Ok(floor)), Some(rooms)) = (cells.next().map(str::parse::<u32>), cells.next()) else { continue };
        for room in rooms.split('`').skip(1).step_by(2).filter(|room| *room != ROOF) {
            assert_eq!(floors.insert(room.to_owned(), floor), None, "{room} stands twice on the map");
        }
    }
    floors
}

/// The files of a folder, tests left out.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder of the source") {
        let path = entry.expect("an entry").path();
        let name = path.file_stem().and_then(|name| name.to_str()).unwrap_or_default();
        if name == "tests" {
            continue;
        }
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

/// The room a file of the library lies in; `None` for its two doors.
fn room_of(path: &Path) -> Option<String> {
    let first = path.strip_prefix(root().join("src")).ok()?.components().next()?.as_os_str().to_str()?;
    Some(first.trim_end_matches(".rs").to_owned()).filter(|room| !["lib", "main"].contains(&room.as_str()))
}

/// The rooms that a text names by path, comments and unit tests left out.
fn named(text: &str) -> BTreeSet<String> {
    let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
    let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
    let lines: Vec<&str> = lines.collect();
    lines
        .join("\n")
        .split("crate::")
        .skip(1)
        .map(|after| after.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect())
        .collect()
}

#[test]
fn no_room_uses_one_above_it_and_there_are_no_circles() {
    let floors = floors();
    let mut uses: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for path in files(&root().join("src")) {
        let Some(room) = room_of(&path) else { continue };
        let floor = floors.get(&room).unwrap_or_else(|| panic!("the map does not show {room}"));
        let text = std::fs::read_to_string(&path).expect("a source file");
        for other in named(&text).into_iter().filter(|other| *other != room) {
            let Some(below) = floors.get(&other) else { panic!("{}: what is `crate::{other}`?", path.display()) };
            assert!(below <= floor, "{} uses {other}, which is above it", path.display());
            uses.entry(room.clone()).or_default().insert(other);
        }
    }
    assert!(uses.len() >= 20, "rooms were found: {uses:?}");
    // Rooms that use none but settled ones are settled; what is left over goes in circles.
    let mut settled: BTreeSet<&String> = floors.keys().filter(|room| !uses.contains_key(*room)).collect();
    loop {
        let next: Vec<&String> = uses
            .iter()
            .filter(|(room, others)| !settled.contains(room) && others.iter().all(|other| settled.contains(other)))
            .map(|(room, _)| room)
            .collect();
        if next.is_empty() {
            break;
        }
        settled.extend(next);
    }
    let circles: Vec<&String> = uses.keys().filter(|room| !settled.contains(room)).collect();
    assert!(circles.is_empty(), "these go in circles: {circles:?}");
    let empty: Vec<&String> = floors
        .keys()
        .filter(|room| {
            !root().join("src").join(room).exists() && !root().join("src").join(format!("{room}.rs")).exists()
        })
        .collect();
    assert!(empty.is_empty(), "the map shows rooms that are not there: {empty:?}");
}
