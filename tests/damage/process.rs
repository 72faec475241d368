//! The same through the program itself: exit code, streams, processor time and memory.

use super::count;
use super::samples::{Kind, samples};
use super::wounds::wound;
use crate::cli::harness::{Bench, PAGE};
use crate::support::{Numbers, say};

/// What is typed for a file of a kind.
fn typed(kind: Kind, draw: &mut Numbers) -> Vec<&'static str> {
    match kind {
        Kind::Page => draw.one_of(&[&["plan", "FILE"][..], &["layers", "FILE"], &["print", "FILE", "-o", "out.html"]]),
        Kind::Room => {
            draw.one_of(&[&["plan", "page.toml", "--room", "FILE"][..], &["safety", "page.toml", "--room", "FILE"]])
        }
        Kind::Can => &["plan", "page.toml", "--sealer", "FILE"],
        Kind::Materials => &["materials", "check", "FILE"],
        Kind::Checks => &["verify", "--checks", "FILE"],
        Kind::Forecast => &["weather", "page.toml", "--forecast", "FILE"],
        Kind::Bench => &["batch", "--effort", "quick", "--problem", "FILE"],
        Kind::Evening => {
            draw.one_of(&[&["batch", "--effort", "quick", "FILE"][..], &["print", "FILE", "-o", "out.html"]])
        }
    }
    .to_vec()
}

/// The program under a limit of processor time (in whole seconds, so two; an evening plans all its pages and searches,
/// which whole takes two already) and of 200 MB of address space, which is more than it can then have of memory; without
/// a shell that sets limits, without.
#[cfg(unix)]
fn limited(bench: &Bench, kind: Kind) -> assert_cmd::Command {
    // What an unoptimised build needs is no measure.
    let unoptimised = std::env::var_os("CARGO_PROFILE_TEST_OPT_LEVEL").is_some();
    let seconds = if unoptimised { 20 } else { 2 } * if kind == Kind::Evening { 5 } else { 1 };
    let limits = format!("ulimit -v 200000; ulimit -t {seconds}; exec \"$0\" \"$@\"");
    let mut command = bench.around("sh");
    command.args(["-c", &limits, env!("CARGO_BIN_EXE_coatbell")]);
    command
}

#[cfg(not(unix))]
fn limited(bench: &Bench, _: Kind) -> assert_cmd::Command {
    bench.command()
}

#[test]
fn the_program_answers_or_points_at_a_broken_file() {
    let samples = samples();
    let cases = count("COATBELL_DAMAGE_PROCESSES", 30);
    let (mut refused, mut answered) = (0, 0);
    for case in 0..cases {
        let mut draw = Numbers(case + 1_000_000);
        let sample = &samples[draw.below(samples.len())];
        let mut bytes = sample.bytes.clone();
        let named = wound(&mut bytes, &samples, &mut draw);
        let bench = Bench::with("page.toml", PAGE);
        if sample.kind == Kind::Evening {
            // What an evening names lies beside it, whole.
            for other in samples.iter().filter(|other| matches!(other.kind, Kind::Page | Kind::Can)) {
                bench.write(&other.name, &other.bytes);
            }
        }
        bench.write(&sample.name, &bytes);
        let json = draw.chance(30);
        let mut command = limited(&bench, sample.kind);
        let words = typed(sample.kind, &mut draw);
        command.args(words.iter().map(|word| if *word == "FILE" { &sample.name } else { *word }));
        if json {
            command.arg("--json");
        }
        let output = command.output().expect("the binary runs");
        let (out, error) = (String::from_utf8(output.stdout), String::from_utf8(output.stderr));
        let (out, error) = (out.expect("UTF-8"), error.expect("UTF-8"));
        let code = output.status.code();
        let what = format!(
            "case {case}: {named} in {} by {words:?} ended with {code:?} {:?}\n{out:.1000}\n{error}",
            sample.name, output.status
        );
        assert!(!error.contains("this is a bug"), "{what}");
        match code {
            // A check that disagrees ends with 1, which is its answer.
            Some(0 | 4) => answered += 1,
            Some(1)
                if sample.kind == Kind::Checks && ["disagree", "\"failed\""].iter().any(|word| out.contains(word)) =>
            {
                answered += 1;
            }
            Some(3) => {
                refused += 1;
                let place = if json { &out } else { &error };
                assert!(place.contains(&sample.name), "no place\n{what}");
                let cure = if json { "\"hint\": \"" } else { "hint: " };
                assert!(place.contains(cure), "no cure\n{what}");
            }
            _ => panic!("{what}"),
        }
    }
    say(&format!("{cases} processes: {answered} answered, {refused} refused"));
    assert!(refused > 0 && answered > 0, "{answered} answered, {refused} refused");
}

/// As many of one thing as fit into a file.
fn full_of(head: &str, piece: impl Fn(usize) -> String) -> String {
    let mut text = head.to_owned();
    let mut number = 0;
    while text.len() < 900_000 {
        text += &piece(number);
        number += 1;
    }
    text
}

#[test]
fn a_file_full_of_one_thing_is_read_or_refused_at_once() {
    let page = "size = \"A4\"\npaper = \"cardstock\"\nfinished = \"5 days ago\"\n";
    let layers = full_of(page, |_| "[[layer]]\nmedium = \"watercolour\"\n".to_owned());
    let parts = full_of("extends = \"acrylic-gloss\"\n[composition]\n", |n| format!("\"part {n}\" = \"0.1 %\"\n"));
    let cans = full_of("", |n| format!("[sealer.can-{n}]\nextends = \"acrylic-gloss\"\n"));
    let chain = full_of("[medium.pen-0]\nextends = \"gel-pen\"\n", |n| {
        format!("[medium.pen-{}]\nextends = \"pen-{n}\"\n", n + 1)
    });
    let areas = full_of(page, |n| match n {
        0 => "[[layer]]\nmedium = \"watercolour\"\nareas = [\"sky\"".to_owned(),
        _ => format!(", \"area {n}\""),
    });
    let names = full_of("extends = \"acrylic-gloss\"\n", |n| format!("name = \"can {n}\"\n"));
    for (text, typed, code) in [
        // Every line is an error of its own, and all of them are told, each with its place.
        (names, &["plan", "page.toml", "--json", "--sealer", "full.toml"][..], 3),
        (layers, &["plan", "full.toml"], 3),
        (parts, &["plan", "page.toml", "--sealer", "full.toml"], 3),
        (cans, &["materials", "check", "full.toml"], 3),
        (chain, &["materials", "check", "full.toml"], 3),
        (areas + "]\n", &["layers", "full.toml"], 0),
    ] {
        let bench = Bench::with("page.toml", PAGE);
        bench.write("full.toml", &text);
        let output = limited(&bench, Kind::Page).args(typed).output().expect("the binary runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{typed:?} with {:.80}: {:?} {said:.2000}", text, output.status);
    }
}
