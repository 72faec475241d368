//! Links, other people's files and second writers in the folder of what is kept.

use std::os::unix::fs::{PermissionsExt, chown, symlink};
use std::path::Path;
use std::process::{Command, Stdio};

use coatbell::store::{Holder, Lock, Log, StoreError, private_folder, read_lines, replace_file};

use crate::support::say;

fn mode(path: &Path) -> u32 {
    std::fs::metadata(path).expect("it is there").permissions().mode() & 0o7777
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("it is ours");
}

fn holder() -> Holder {
    Holder { what: "A test".to_owned(), process: std::process::id(), since: "now".to_owned() }
}

#[test]
fn what_is_kept_is_for_this_user_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = folder.path().join("state");
    let (log, lock, file) = (state.join("a.jsonl"), state.join("a.lock"), state.join("grams.json"));
    Log::open(&log).expect("a log").0.append("{}").expect("a line");
    let _held = Lock::take(&lock, &holder()).expect("a lock");
    replace_file(&file, "{}").expect("a file");
    assert_eq!([mode(&state), mode(&log), mode(&lock), mode(&file)], [0o700, 0o600, 0o600, 0o600]);
    // What a careless copy opened to all is closed again.
    set_mode(&log, 0o666);
    set_mode(&state, 0o755);
    Log::open(&log).expect("the log").0.append("{}").expect("a line");
    assert_eq!([mode(&state), mode(&log)], [0o700, 0o600]);
}

#[test]
fn a_folder_for_everyone_stays_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let shared = folder.path().join("shared");
    std::fs::create_dir(&shared).expect("a folder");
    set_mode(&shared, 0o1777);
    private_folder(&shared).expect("it is ours");
    replace_file(&shared.join("grams.json"), "{}").expect("a file");
    assert_eq!([mode(&shared), mode(&shared.join("grams.json"))], [0o1777, 0o600]);
}

#[test]
fn things_that_are_no_files_are_refused_and_not_waited_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = |name: &str| folder.path().join(name);
    let made = Command::new("mkfifo").arg(place("pipe")).status();
    assert!(made.is_ok_and(|status| status.success()), "mkfifo makes a pipe");
    std::fs::create_dir(place("folder")).expect("a folder");
    symlink("/dev/zero", place("device")).expect("a link");
    symlink(place("pipe"), place("link")).expect("a link");
    for name in ["pipe", "folder", "device", "link"] {
        let code = |error: StoreError| error.code();
        assert!(["cannot-read", "not-yours"].contains(&read_lines(&place(name)).map_err(code).unwrap_err()), "{name}");
        assert!(
            ["cannot-read", "not-yours"].contains(&Log::open(&place(name)).map_err(code).map(drop).unwrap_err()),
            "{name}"
        );
        assert!(Lock::take(&place(name), &holder()).is_err(), "{name}");
    }
    // Round in a circle.
    symlink(place("circle"), place("circle")).expect("a link");
    assert!(read_lines(&place("circle")).is_err() && Log::open(&place("circle")).is_err());
}

#[test]
fn links_of_ones_own_are_followed_and_a_new_file_takes_the_place_of_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let (real, link) = (folder.path().join("real.jsonl"), folder.path().join("link.jsonl"));
    std::fs::write(&real, "{\"a\":1}\n").expect("a file");
    symlink(&real, &link).expect("a link");
    Log::open(&link).expect("the log").0.append("{\"a\":2}").expect("a line");
    assert_eq!(read_lines(&real).expect("the log").lines.len(), 2);
    replace_file(&link, "new").expect("a file");
    assert!(!link.is_symlink() && read_lines(&real).expect("the log").lines.len() == 2, "what it led to is untouched");
}

#[test]
fn files_links_and_folders_of_other_people_are_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = |name: &str| folder.path().join(name);
    std::fs::write(place("theirs.jsonl"), "{}\n").expect("a file");
    std::fs::write(place("ours.jsonl"), "{}\n").expect("a file");
    std::fs::create_dir(place("folder")).expect("a folder");
    if chown(place("theirs.jsonl"), Some(12_345), None).is_err() {
        say("skipped: only the administrator can give a file to another user");
        return;
    }
    chown(place("folder"), Some(12_345), None).expect("given once already");
    // Their link to a file of ours: the file is ours, the choice of it theirs.
    symlink(place("ours.jsonl"), place("planted.jsonl")).expect("a link");
    std::os::unix::fs::lchown(place("planted.jsonl"), Some(12_345), None).expect("given once already");
    // Our link to a file of theirs.
    symlink(place("theirs.jsonl"), place("link.jsonl")).expect("a link");
    for name in ["theirs.jsonl", "planted.jsonl", "link.jsonl"] {
        assert!(matches!(Log::open(&place(name)), Err(StoreError::NotYours { .. })), "{name}");
        assert!(matches!(read_lines(&place(name)), Err(StoreError::NotYours { .. })), "{name}");
        assert!(matches!(Lock::take(&place(name), &holder()), Err(StoreError::NotYours { .. })), "{name}");
    }
    let inside = place("folder").join("new.jsonl");
    assert!(matches!(Log::open(&inside), Err(StoreError::NotYours { .. })));
    assert!(matches!(replace_file(&inside, "x"), Err(StoreError::NotYours { .. })));
    assert!(!inside.exists());
    assert_eq!(std::fs::read_to_string(place("ours.jsonl")).expect("ours"), "{}\n");
}

/// The part of another process: appends lines under the lock until it has written them all.
#[test]
fn writer() {
    let Some(folder) = std::env::var_os("COATBELL_TEST_WRITER") else { return };
    let (log, lock, file) = paths(Path::new(&folder));
    let mut written = 0;
    while written < LINES {
        let Ok(_held) = Lock::take(&lock, &holder()) else {
            std::thread::yield_now();
            continue;
        };
        let (mut log, before) = Log::open(&log).expect("the log");
        assert!(!before.torn, "whoever writes without the lock tears lines");
        log.append(&format!("{{\"process\":{},\"line\":{written}}}", std::process::id())).expect("a line");
        let counted: usize = std::fs::read_to_string(&file).map_or(0, |text| text.parse().expect("a number"));
        replace_file(&file, &(counted + 1).to_string()).expect("the count");
        written += 1;
    }
}

const LINES: usize = 40;

fn paths(folder: &Path) -> (std::path::PathBuf, std::path::PathBuf, std::path::PathBuf) {
    (folder.join("log.jsonl"), folder.join("lock"), folder.join("count"))
}

#[test]
fn two_writers_lose_and_mix_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let begin = || {
        let itself = std::env::current_exe().expect("this program");
        let mut command = Command::new(itself);
        command.args(["--exact", "faults::state::writer"]).env("COATBELL_TEST_WRITER", folder.path());
        command.stdout(Stdio::null()).stderr(Stdio::inherit()).spawn().expect("it runs")
    };
    let writers = [begin(), begin(), begin()];
    let count = writers.len();
    for mut writer in writers {
        assert!(writer.wait().expect("it ends").success());
    }
    let (log, _, file) = paths(folder.path());
    let lines = read_lines(&log).expect("the log");
    assert!(!lines.torn);
    assert_eq!(lines.lines.len(), count * LINES);
    for line in &lines.lines {
        let _: serde_json::Value = serde_json::from_str(line).expect("a whole line");
    }
    assert_eq!(std::fs::read_to_string(&file).expect("the count"), (count * LINES).to_string());
}

#[test]
fn a_writer_that_is_killed_leaves_the_lock_and_whole_lines() {
    let folder = tempfile::tempdir().expect("a folder");
    let (log, lock, _) = paths(folder.path());
    let mut whole = 0;
    for wait_ms in [0, 20, 60, 90] {
        let itself = std::env::current_exe().expect("this program");
        let mut command = Command::new(itself);
        command.args(["--exact", "faults::state::writer"]).env("COATBELL_TEST_WRITER", folder.path());
        let mut writer = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("it runs");
        // It is at work once there is a line more.
        let until = std::time::Instant::now() + std::time::Duration::from_secs(60);
        while std::fs::read(&log).map_or(0, |text| text.iter().filter(|byte| **byte == b'\n').count()) <= whole {
            assert!(std::time::Instant::now() < until, "it writes nothing");
            std::thread::sleep(std::time::Duration::from_millis(1));
        }
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        writer.kill().expect("it is ours");
        writer.wait().expect("it ends");
        let _held = Lock::take(&lock, &holder()).expect("a lock dies with its process");
        let (_, lines) = Log::open(&log).expect("a log that can be gone on with");
        assert!(lines.lines.len() > whole, "{} lines after {whole}", lines.lines.len());
        whole = lines.lines.len();
        for line in &lines.lines {
            let _: serde_json::Value = serde_json::from_str(line).expect("a whole line");
        }
    }
}
