//! Killed at any moment and resumed: no coat lost or doubled, no reminder missed.

use std::time::Duration;

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;

use super::{BY_ITSELF, Studio, Watched, count, events, seal};

/// How often faster than the clock: a run of hours in about a second.
const SPEED: &str = "12000x";

/// Kills here; the long run asks for more.
fn kills() -> u32 {
    std::env::var("COATBELL_KILLS").ok().and_then(|kills| kills.parse().ok()).unwrap_or(30)
}

/// One run, killed at most twice; how often it was.
fn killed_and_resumed(seed: u32) -> u32 {
    let mut random = Pcg32::new(u64::from(seed), 7);
    let studio = Studio::new();
    let mut said = Vec::new();
    let first = seal(&[&["--rehearse", SPEED], &BY_ITSELF[..]].concat());
    let mut run = Watched::of(studio.command(&first));
    run.wait_for("\"started\"");
    let mut kills = 0_u32;
    let code = loop {
        std::thread::sleep(Duration::from_micros(u64::from(random.next_u32() % 1_300_000)));
        let over = run.child.try_wait().expect("it can be asked").is_some();
        if !over && kills < 2 {
            run.child.kill().expect("kill");
            kills += 1;
            said.extend(run.end().1);
            let again = [&["seal", "--resume", "--rehearse", SPEED], &BY_ITSELF[..]].concat();
            run = Watched::of(studio.command(&again));
            continue;
        }
        let (code, lines) = run.end();
        said.extend(lines);
        break code;
    };
    let journal = studio.journals("rehearsals").concat();
    let finished = journal.contains("\"event\":\"finished\"");
    // Killed after its last line it has nothing to go on with, which is said with 1.
    assert!(code == Some(0) || (code == Some(1) && finished), "seed {seed}: {code:?} {journal}");
    assert!(finished, "seed {seed}: {journal}");
    let start: serde_json::Value = serde_json::from_str(journal.lines().next().expect("the start")).expect("JSON");
    let coats = start["spec"]["pages"][0]["coats"].as_array().expect("coats").len();
    for coat in 1..=coats {
        let done = format!("\"event\":\"coat_done\",\"page\":1,\"coat\":{coat},");
        assert_eq!(journal.matches(&done).count(), 1, "seed {seed}: coat {coat}: {journal}");
    }
    let lines: Vec<String> = said.into_iter().map(|(_, line)| line).filter(|line| line.contains("\"event\"")).collect();
    // A line cut off by the kill is no event.
    let whole: Vec<String> = lines.into_iter().filter(|line| line.ends_with('}')).collect();
    let events = events(&whole);
    for (name, times) in [
        ("coat_due", coats),
        ("leave_room", coats),
        ("return_masked", coats),
        ("clear_unmasked", 1),
        ("clear_others", 1),
        ("handle_dry", 1),
    ] {
        // A reminder that was cut off before it was noted is given again: heard twice is right, never is wrong.
        let heard = count(&events, name);
        assert!(heard >= times, "seed {seed}: {name} heard {heard} times of {times}");
        let noted = journal.matches(&format!("\"event\":\"rung\",\"bell\":\"{name}\"")).count();
        assert_eq!(noted, times, "seed {seed}: {name}: {journal}");
    }
    kills
}

#[test]
fn killed_at_any_moment_nothing_is_lost_doubled_or_missed() {
    let runs = kills();
    let workers = 6;
    let killed: u32 = std::thread::scope(|scope| {
        let work = |worker| scope.spawn(move || (worker..runs).step_by(workers).map(killed_and_resumed).sum::<u32>());
        let at_work: Vec<_> = (0..workers as u32).map(work).collect();
        at_work.into_iter().map(|worker| worker.join().expect("no run is lost")).sum()
    });
    // A run that is over before it is killed shows nothing.
    assert!(killed >= runs / 2, "only {killed} kills in {runs} runs");
}
