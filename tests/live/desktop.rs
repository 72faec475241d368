//! Reminders in a real notification daemon under a screen of its own.

use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::cli::seal::{BY_ITSELF, Studio, events, seal};
use crate::support::there;

/// A process that ends with the test.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        // Asked first: a screen that is killed leaves its lock in /tmp.
        let _ = Command::new("kill").args(["-TERM", &self.0.id().to_string()]).status();
        let until = Instant::now() + Duration::from_secs(5);
        while matches!(self.0.try_wait(), Ok(None)) && Instant::now() < until {
            std::thread::sleep(Duration::from_millis(20));
        }
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Waits until something is so.
fn wait(what: &str, so: impl Fn() -> bool) {
    let until = Instant::now() + Duration::from_secs(20);
    while !so() {
        assert!(Instant::now() < until, "{what} never came");
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn a_real_daemon_shows_every_reminder_of_a_rehearsal() {
    if !there(&["dbus-daemon", "dunst", "dunstctl", "Xvfb"]) {
        return;
    }
    let studio = Studio::new();
    let Some(bus) = crate::cli::seal::bus::Bus::start() else { return };
    let folder = studio.bench.path(".");
    // The daemon writes down what it shows, one file a reminder.
    let shown = studio.bench.path("shown");
    std::fs::create_dir(&shown).expect("a folder");
    let script = studio.bench.path("note");
    let text = format!(
        "#!/bin/sh\nfile=$(mktemp {}/XXXXXXXX)\nprintf '%s\\n%s\\n' \"$DUNST_SUMMARY\" \"$DUNST_BODY\" > \"$file.tmp\"\n\
         mv \"$file.tmp\" \"$file.done\"\n",
        shown.display()
    );
    std::fs::write(&script, text).expect("a script");
    Command::new("chmod").arg("+x").arg(&script).status().expect("chmod runs");
    let configuration = studio.bench.path("dunstrc");
    let rule = format!("[global]\nhistory_length = 50\n[note]\nsummary = \"*\"\nscript = \"{}\"\n", script.display());
    std::fs::write(&configuration, rule).expect("a file");
    let display = format!(":{}", 200 + std::process::id() % 700);
    let quiet = |program: &str| {
        let mut command = Command::new(program);
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).current_dir(&folder);
        command.env("DISPLAY", &display).env("DBUS_SESSION_BUS_ADDRESS", &bus.address);
        command
    };
    let screen = quiet("Xvfb").args([&display, "-screen", "0", "800x600x24", "-nolisten", "tcp"]).spawn();
    let _screen = Ended(screen.expect("Xvfb runs"));
    wait("the screen", || std::path::Path::new(&format!("/tmp/.X11-unix/X{}", &display[1..])).exists());
    let daemon = quiet("dunst").arg("-conf").arg(&configuration).spawn();
    let _daemon = Ended(daemon.expect("dunst runs"));
    wait("the daemon", || quiet("dunstctl").arg("count").status().is_ok_and(|status| status.success()));

    let mut command = studio.command(&seal(&[&["--rehearse", "3000x"], &BY_ITSELF[..]].concat()));
    let output = command.env("DBUS_SESSION_BUS_ADDRESS", &bus.address).output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(!text.contains("No reminders on the desktop"), "{text}");
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let kinds = ["coat_due", "overdue", "leave_room", "return_masked", "clear_unmasked", "clear_others", "handle_dry"];
    let mut said: Vec<String> = events(&lines)
        .iter()
        .filter(|event| kinds.iter().any(|kind| event["event"] == *kind))
        .map(|event| format!("{}\n{}", event["head"].as_str().unwrap_or(""), event["text"].as_str().unwrap_or("")))
        .collect();
    assert!(said.len() >= 9, "{said:#?}");
    let written = || -> Vec<String> {
        let all = std::fs::read_dir(&shown).expect("the folder").filter_map(|entry| Some(entry.ok()?.path()));
        let done = all.filter(|path| path.extension().is_some_and(|ending| ending == "done"));
        done.map(|path| std::fs::read_to_string(path).expect("a note").trim_end().to_owned()).collect()
    };
    wait("the last reminder", || written().len() >= said.len());
    let mut written = written();
    written.sort();
    said.sort();
    assert_eq!(written, said);
}
