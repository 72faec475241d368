//! The example files: every one is read without a problem, so that a copy of any is a good start.

use std::path::{Path, PathBuf};

use coatbell::diagnostic::{Problems, SourceText, render};
use coatbell::input::{read_batch, read_page, read_room, read_sealer};
use jiff::ZonedDateTime;

/// The folder of the examples.
pub(crate) fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("profiles/examples")
}

/// The TOML files of a folder of the examples, in order of the alphabet.
pub(crate) fn files_of(folder: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(examples().join(folder)).expect("the folder of the examples");
    let mut files: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    files.retain(|file| file.extension().is_some_and(|ending| ending == "toml"));
    files.sort_unstable();
    files
}

fn read_all<T>(folder: &str, least: usize, read: impl Fn(&SourceText) -> Result<T, Problems>) {
    let files = files_of(folder);
    assert!(files.len() >= least, "{} files in {folder}", files.len());
    for file in files {
        let text = std::fs::read_to_string(&file).expect("an example can be read");
        assert!(text.starts_with('#'), "{}: an example begins with what it is", file.display());
        let source = SourceText::new(&file.display().to_string(), &text);
        if let Err(problems) = read(&source) {
            panic!("{}", render(&problems, false, 100));
        }
    }
}

#[test]
fn every_page_is_read() {
    let now: ZonedDateTime = "2026-11-28T14:00:00+00:00[UTC]".parse().expect("a written moment");
    read_all("pages", 6, |source| read_page(source, &now));
}

#[test]
fn every_room_is_read() {
    read_all("rooms", 3, read_room);
}

#[test]
fn every_can_is_read() {
    read_all("cans", 2, read_sealer);
}

#[test]
fn every_evening_is_read() {
    let now: ZonedDateTime = "2026-11-28T14:00:00+00:00[UTC]".parse().expect("a written moment");
    read_all("batches", 1, |source| read_batch(source, &now));
}

#[test]
fn every_page_is_planned_in_every_room() {
    let bench = super::harness::Bench::new();
    let (cans, rooms) = (files_of("cans"), files_of("rooms"));
    assert!(!rooms.is_empty(), "rooms to plan in");
    for (number, page) in files_of("pages").into_iter().enumerate() {
        for room in &rooms {
            let can = &cans[number % cans.len()];
            let mut command = bench.command();
            command.arg("plan").arg(&page).arg("--room").arg(room).arg("--sealer").arg(can).arg("-q");
            let output = command.output().expect("the binary runs");
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(matches!(output.status.code(), Some(0 | 4)), "{} in {}: {said}", page.display(), room.display());
        }
    }
}

#[test]
fn the_easy_page_goes_and_the_impossible_one_does_not() {
    let bench = super::harness::Bench::new();
    let code_of = |page: &str| {
        let mut command = bench.command();
        command.arg("plan").arg(examples().join("pages").join(page));
        command.arg("--room").arg(examples().join("rooms/spare-room.toml"));
        command.arg("--sealer").arg(examples().join("cans/shelf-gloss.toml"));
        command.output().expect("the binary runs").status.code()
    };
    assert_eq!(code_of("first-wash.toml"), Some(0));
    assert_eq!(code_of("fairground-tonight.toml"), Some(4));
}

#[test]
fn the_list_of_examples_names_every_file() {
    let list = std::fs::read_to_string(examples().join("README.md")).expect("the list of examples");
    for folder in ["pages", "rooms", "cans"] {
        for file in files_of(folder) {
            let name = file.file_name().expect("a file name").to_string_lossy().into_owned();
            assert!(list.contains(&format!("`{folder}/{name}`")), "{folder}/{name} is not in the list");
        }
    }
}
