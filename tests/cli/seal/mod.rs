//! Runs conducted by the binary: rehearsed to the end, interrupted, killed, resumed, refused.

mod anew;
#[cfg(unix)]
pub(crate) mod bus;
#[cfg(unix)]
mod desktop;
mod ends;
mod kills;
mod refused;
mod rehearsed;
mod waits;

use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::harness::{Bench, PAGE};

const ROOM: &str =
    "size = \"3.4 m x 2.8 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"window-open\"\n";

/// A page and a room in a folder, with a place for runs.
pub(crate) struct Studio {
    pub(crate) bench: Bench,
}

impl Studio {
    pub(crate) fn new() -> Self {
        let bench = Bench::with("page.toml", PAGE);
        bench.write("room.toml", ROOM);
        Self { bench }
    }

    pub(crate) fn state(&self) -> PathBuf {
        self.bench.path("state")
    }

    /// The binary on the real clock, without a desktop.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_coatbell"));
        command
            .args(arguments)
            .current_dir(self.bench.path("."))
            .env_clear()
            .env("COATBELL_STATE", self.state())
            .env("COATBELL_MATERIALS", self.bench.path("no-materials"))
            .env("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/bus")
            .env("HOME", self.bench.path("."))
            .env("TZ", "UTC")
            .env("NO_COLOR", "1")
            .env("COLUMNS", "80")
            .env("LC_ALL", "C.UTF-8")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Begins a run of the page that waits for keys which never come; its input stays open.
    pub(crate) fn begin(&self) -> Watched {
        let mut command = self.command(&seal(&["--yes", "--masked", "--no-flames", "--json"]));
        command.stdin(Stdio::piped());
        Watched::of(command)
    }

    /// The journals of real runs, or of rehearsals.
    pub(crate) fn journals(&self, kind: &str) -> Vec<String> {
        let folder = self.state().join(kind);
        let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
            .map(|all| all.map(|entry| entry.expect("an entry").path()).collect())
            .unwrap_or_default();
        paths.retain(|path| path.extension().is_some_and(|ending| ending == "jsonl"));
        paths.sort();
        paths.iter().map(|path| std::fs::read_to_string(path).expect("a journal")).collect()
    }
}

/// `seal page.toml --room room.toml …`.
pub(crate) fn seal<'w>(more: &[&'w str]) -> Vec<&'w str> {
    ["seal", "page.toml", "--room", "room.toml", "--sealer", "acrylic-satin"].iter().chain(more).copied().collect()
}

/// The flags of a rehearsal that goes by itself.
pub(crate) const BY_ITSELF: [&str; 5] = ["--auto", "--yes", "--masked", "--no-flames", "--json"];

/// A process whose lines are read as they come, each with the moment it came.
pub(crate) struct Watched {
    pub(crate) child: Child,
    lines: std::sync::mpsc::Receiver<(Instant, String)>,
    pub(crate) seen: Vec<(Instant, String)>,
}

impl Watched {
    pub(crate) fn of(mut command: Command) -> Self {
        let mut child = command.spawn().expect("the binary runs");
        let out = child.stdout.take().expect("a pipe");
        let (sender, lines) = std::sync::mpsc::channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if sender.send((Instant::now(), line)).is_err() {
                    return;
                }
            }
        });
        Self { child, lines, seen: Vec::new() }
    }

    /// Waits for a line with that text.
    pub(crate) fn wait_for(&mut self, text: &str) -> String {
        let until = Instant::now() + Duration::from_secs(60);
        loop {
            let left = until.saturating_duration_since(Instant::now());
            let Ok((at, line)) = self.lines.recv_timeout(left) else {
                let _ = self.child.kill();
                panic!("`{text}` never came after {:#?}", self.seen);
            };
            self.seen.push((at, line.clone()));
            if line.contains(text) {
                return line;
            }
        }
    }

    /// Sprays the three coats of the page, the later ones at once: refused as too early, and insisted on.
    pub(crate) fn spray_all(&mut self) {
        for coat in 1..=3 {
            let input = self.child.stdin.as_mut().expect("a pipe");
            input.write_all(if coat == 1 { b"\n" } else { b"\ny\n" }).expect("a key");
            self.wait_for(&format!("coat {coat} of 3 is on"));
        }
    }

    /// Waits for its end, and hands back its code and every line.
    pub(crate) fn end(mut self) -> (Option<i32>, Vec<(Instant, String)>) {
        // Waiting would close its input first, which is a way of ending it.
        let input = self.child.stdin.take();
        let status = self.child.wait().expect("it ends");
        drop(input);
        while let Ok(line) = self.lines.recv_timeout(Duration::from_secs(5)) {
            self.seen.push(line);
        }
        (status.code(), std::mem::take(&mut self.seen))
    }

    pub(crate) fn signal(&self, name: &str) {
        let status = Command::new("kill").args([name, &self.child.id().to_string()]).status().expect("kill runs");
        assert!(status.success());
    }
}

/// The events of lines of JSON.
pub(crate) fn events<'l>(lines: impl IntoIterator<Item = &'l String>) -> Vec<serde_json::Value> {
    lines.into_iter().map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}"))).collect()
}

/// How often each event came.
pub(crate) fn count(events: &[serde_json::Value], name: &str) -> usize {
    events.iter().filter(|event| event["event"] == name).count()
}
