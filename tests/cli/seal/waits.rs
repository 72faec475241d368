//! Real waits on the real clock: how late a reminder is, and what waiting costs.

use std::io::Write;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use super::{Studio, Watched};

/// Runs that wait side by side; the long run asks for 200.
fn waits() -> usize {
    std::env::var("COATBELL_WAITS").ok().and_then(|waits| waits.parse().ok()).unwrap_or(6)
}

/// Processor time of a process so far, in ticks of a hundredth of a second.
fn ticks(process: u32) -> u64 {
    let text = std::fs::read_to_string(format!("/proc/{process}/stat")).expect("a process that runs");
    let after = text.rsplit(')').next().unwrap_or_default();
    let fields: Vec<u64> = after.split_whitespace().filter_map(|field| field.parse().ok()).collect();
    // The state is a letter and left out: user and system time are the eleventh and twelfth number after it.
    fields[10] + fields[11]
}

/// A journal of a run whose first coat is due at a moment of the wall.
fn prepared(studio: &Studio, due: jiff::Timestamp) {
    let mut run = studio.begin();
    run.wait_for("\"coat_due\"");
    run.child.kill().expect("kill");
    let _ = run.end();
    let folder = studio.state().join("runs");
    let path = std::fs::read_dir(&folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .find(|path| path.extension().is_some_and(|ending| ending == "jsonl"))
        .expect("a journal");
    let text = std::fs::read_to_string(&path).expect("a journal");
    let mut start: serde_json::Value = serde_json::from_str(text.lines().next().expect("a line")).expect("JSON");
    start["spec"]["pages"][0]["first_at"] = serde_json::json!(due.to_string());
    let checked = text.lines().find(|line| line.contains("\"checked\"")).expect("the list was done");
    std::fs::write(&path, format!("{start}\n{checked}\n")).expect("a journal");
}

#[cfg(target_os = "linux")]
#[test]
fn reminders_come_on_time_side_by_side_and_waiting_costs_next_to_nothing() {
    let all = waits();
    let studios: Vec<Studio> = (0..all).map(|_| Studio::new()).collect();
    // Time for all of them to begin before the first is due.
    let begin = Duration::from_secs(3 + all as u64 / 10);
    let first = jiff::Timestamp::now() + jiff::SignedDuration::try_from(begin * 2).expect("a few minutes");
    let due: Vec<jiff::Timestamp> =
        (0..).map(|number| first + jiff::SignedDuration::from_millis(37 * number % 5_000)).take(all).collect();
    // One journal is made by the binary; the others are copies under their own states.
    prepared(&studios[0], due[0]);
    for (studio, due) in studios.iter().zip(&due).skip(1) {
        copy_state(&studios[0], studio, *due);
    }
    let mut runs: Vec<Watched> = studios
        .iter()
        .map(|studio| {
            let arguments = ["seal", "--resume", "--as-begun", "--yes", "--masked", "--no-flames", "--json"];
            let mut command = studio.command(&arguments);
            command.stdin(std::process::Stdio::piped());
            Watched::of(command)
        })
        .collect();
    for run in &mut runs {
        run.wait_for("\"resumed\"");
    }
    let (from, began) = (ticks(runs[0].child.id()), std::time::Instant::now());
    let mut late_ms = Vec::new();
    let mut cost = None;
    for (run, due) in runs.iter_mut().zip(&due) {
        run.wait_for("\"coat_due\"");
        cost = cost.or_else(|| Some((ticks(run.child.id()) - from, began.elapsed())));
        let (came, _) = run.seen.last().expect("the line");
        let came = SystemTime::now() - came.elapsed();
        let came_ms = came.duration_since(UNIX_EPOCH).expect("after 1970").as_secs_f64() * 1000.0;
        late_ms.push(came_ms - due.as_millisecond() as f64);
    }
    for mut run in runs {
        run.child.kill().expect("kill");
        let _ = run.end();
    }
    late_ms.sort_by(f64::total_cmp);
    let (median, most) = (late_ms[late_ms.len() / 2], late_ms[late_ms.len() - 1]);
    let (ticks, over) = cost.expect("one run was watched");
    let per_ten_min_s = ticks as f64 / 100.0 * 600.0 / over.as_secs_f64();
    crate::support::say(&format!(
        "{all} waits side by side: median {median:.1} ms late, at most {most:.1} ms; processor time of a \
         10-min wait about {per_ten_min_s:.2} s (from {:.0} s)",
        over.as_secs_f64()
    ));
    assert!(late_ms[0] > -1.0, "never early: {late_ms:?}");
    assert!(most < 1000.0, "{late_ms:?}");
    assert!(median < 100.0, "{late_ms:?}");
    assert!(per_ten_min_s < 30.0, "{per_ten_min_s} s");
}

/// The same run under another state, with another moment.
fn copy_state(from: &Studio, to: &Studio, due: jiff::Timestamp) {
    let folder = to.state().join("runs");
    std::fs::create_dir_all(&folder).expect("a folder");
    let text = from.journals("runs").concat();
    let mut start: serde_json::Value = serde_json::from_str(text.lines().next().expect("a line")).expect("JSON");
    start["spec"]["pages"][0]["first_at"] = serde_json::json!(due.to_string());
    let rest: Vec<&str> = text.lines().skip(1).collect();
    std::fs::write(folder.join("copy.jsonl"), format!("{start}\n{}\n", rest.join("\n"))).expect("a journal");
}

#[cfg(unix)]
#[test]
fn a_run_that_was_stopped_rings_at_once_when_it_goes_on() {
    // SIGSTOP cannot be heard: a closed laptop, or a shell that halts its job.
    let studio = Studio::new();
    prepared(&studio, jiff::Timestamp::now() + jiff::SignedDuration::from_secs(6));
    let arguments = ["seal", "--resume", "--as-begun", "--yes", "--masked", "--no-flames", "--json"];
    let mut command = studio.command(&arguments);
    command.stdin(std::process::Stdio::piped());
    let mut run = Watched::of(command);
    run.wait_for("\"resumed\"");
    run.signal("-STOP");
    std::thread::sleep(Duration::from_secs(8));
    assert!(!run.seen.iter().any(|(_, line)| line.contains("\"coat_due\"")), "{:#?}", run.seen);
    // Whoever asks meanwhile gets an answer, and nobody else takes the run.
    let status = studio.command(&["status", "--json"]).output().expect("it runs");
    let status: serde_json::Value = serde_json::from_slice(&status.stdout).expect("JSON");
    assert_eq!(status["runs"][0]["conducted_by"], run.child.id(), "{status:#}");
    let second = studio.command(&["seal", "--resume", "--yes", "--masked", "--no-flames"]).output().expect("it runs");
    assert_eq!(second.status.code(), Some(1), "{}", String::from_utf8_lossy(&second.stderr));
    let continued = std::time::Instant::now();
    run.signal("-CONT");
    run.wait_for("\"coat_due\"");
    assert!(continued.elapsed() < Duration::from_secs(3), "{:?}", continued.elapsed());
    run.child.stdin.as_mut().expect("a pipe").write_all(b"\n").expect("a key");
    run.wait_for("\"coat_done\"");
    run.child.stdin.as_mut().expect("a pipe").write_all(b"q\n").expect("a key");
    assert_eq!(run.end().0, Some(0));
    let journal = studio.journals("runs").concat();
    assert_eq!(journal.matches("\"event\":\"coat_done\"").count(), 1, "{journal}");
}
