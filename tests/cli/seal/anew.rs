//! An evening in which a coat comes late: the rest is planned anew, and a killed run goes on with the same moments.

use std::io::Write;
use std::time::Duration;

use coatbell::catalog::Catalog;
use coatbell::run::{Pace, State, read_entries};

use super::{Studio, Watched};

/// An evening of three sheets alike, for a rehearsal five hundred times as fast.
const EVENING: &str = "rack = 3\n[[page]]\nfile = \"page.toml\"\nsealer = \"acrylic-satin\"\ncopies = 3\n";
const FLAGS: [&str; 6] = ["--rehearse", "500x", "--yes", "--masked", "--no-flames", "--json"];

fn state(journal: &str) -> State {
    let lines: Vec<&str> = journal.lines().collect();
    let entries = read_entries(&lines).expect("a journal");
    State::fold(&entries, &Pace::of(&Catalog::builtin().rules)).expect("a start")
}

#[test]
fn a_late_coat_moves_the_rest_and_a_killed_run_goes_on_with_the_same_moments() {
    let studio = Studio::new();
    studio.bench.write("evening.toml", EVENING);
    let words = [&["seal", "evening.toml", "--room", "cross-draught"], &FLAGS[..]].concat();
    let mut command = studio.command(&words);
    command.stdin(std::process::Stdio::piped());
    let mut run = Watched::of(command);
    run.wait_for("\"coat_due\"");
    // Over half an hour late.
    std::thread::sleep(Duration::from_secs(4));
    run.child.stdin.as_mut().expect("a pipe").write_all(b"\n").expect("it hears");
    let said = run.wait_for("planned anew");
    assert!(
        said.contains("\"event\":\"replanned\"") && said.contains("done ") && said.contains(" instead of "),
        "{said}"
    );
    run.child.kill().expect("kill");
    let _ = run.end();
    let before = studio.journals("rehearsals").concat();
    let whole = before.rfind('\n').map_or("", |end| &before[..=end]).to_owned();
    assert!(whole.contains("\"event\":\"replanned\""), "{whole}");
    let planned = state(&whole);
    // One person: no two first coats fall together, and none before the late one.
    let mut firsts: Vec<_> = planned.pages.iter().filter_map(coatbell::run::PageState::due_at).collect();
    firsts.sort();
    let late = planned.last_coat().expect("a coat is on").1.at;
    assert!(firsts.iter().all(|due| *due >= late), "{firsts:?} {late}");
    assert!(firsts.windows(2).all(|two| two[0] < two[1]), "{firsts:?}");

    let again = [&["seal", "--resume"], &FLAGS[..]].concat();
    let mut command = studio.command(&again);
    command.stdin(std::process::Stdio::piped());
    let mut run = Watched::of(command);
    run.wait_for("\"resumed\"");
    run.child.kill().expect("kill");
    let _ = run.end();
    let after = studio.journals("rehearsals").concat();
    assert!(after.starts_with(&whole), "the journal is only ever added to");
    let added = &after[whole.len()..];
    assert!(!added.contains("\"event\":\"replanned\""), "nothing was left to be planned: {added}");
    let dues = |state: &State| state.pages.iter().map(coatbell::run::PageState::due_at).collect::<Vec<_>>();
    assert_eq!(dues(&state(&after[..=after.rfind('\n').expect("a line")])), dues(&planned));
}
