//! The journal cut anywhere is a run up to there.

use super::super::{Entry, Mishap, ReadError, State, read_entries};
use super::{Bench, Command, pace};
use crate::store::read_lines;

/// A run with something of everything in it.
fn eventful() -> Bench {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.watch(60);
    bench.command(Command::Undo).unwrap();
    bench.spray().unwrap();
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Spits }).unwrap();
    bench.set_by_s += 600;
    bench.watch(700);
    bench.spray().unwrap();
    bench.command(Command::NewCan { page: 0 }).unwrap();
    bench.watch(700);
    bench.spray().unwrap();
    bench
}

#[test]
fn cut_at_every_byte_it_is_the_run_up_to_there() {
    let bench = eventful();
    let text: String = bench.journal.iter().map(|entry| entry.line() + "\n").collect();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.jsonl");
    let mut ends = Vec::new();
    let mut end = 0;
    for line in text.lines() {
        end += line.len() + 1;
        ends.push(end);
    }
    for cut in 0..=text.len() {
        std::fs::write(&path, &text.as_bytes()[..cut]).unwrap();
        let lines = read_lines(&path).unwrap();
        let entries = read_entries(&lines.lines).unwrap();
        // A line that lacks nothing but its end counts.
        let whole = ends.iter().filter(|end| **end - 1 <= cut).count();
        assert_eq!(entries, bench.journal[..whole], "cut at {cut}");
        let state = State::fold(&entries, &pace());
        assert_eq!(state.is_some(), whole > 0, "cut at {cut}");
        if let Some(state) = state {
            assert!(state.pages[0].done.len() <= 3);
        }
    }
    bench.folds();
}

#[test]
fn a_coat_written_twice_counts_once() {
    let bench = eventful();
    let mut entries: Vec<Entry> = bench.journal.clone();
    let last = entries.iter().rfind(|entry| entry.line().contains("coat_done")).unwrap().clone();
    entries.push(last);
    let state = State::fold(&entries, &pace()).unwrap();
    assert_eq!(state.pages[0].done.len(), 3);
    assert_eq!(state.cans["acrylic-gloss"].used_g, 5.0, "one coat since the new can");
}

#[test]
fn a_newer_journal_is_not_guessed_at() {
    let bench = eventful();
    let mut lines: Vec<String> = bench.journal.iter().map(Entry::line).collect();
    lines.push("{\"v\":2,\"at\":\"2026-11-28T15:00:00Z\",\"event\":\"coat_blessed\"}".to_owned());
    assert_eq!(read_entries(&lines), Err(ReadError::FutureVersion(2)));
    lines.pop();
    lines.push("{\"v\":1,\"at\":\"2026-11-28T15:00:00Z\",\"event\":\"coat_blessed\"}".to_owned());
    assert_eq!(read_entries(&lines), Err(ReadError::NotAnEntry(lines.len())));
    assert_eq!(read_entries(&lines[1..2]), Err(ReadError::NoStart));
}
