//! The first things anyone types.

use super::harness::Bench;

#[test]
fn alone_it_says_what_it_is() {
    insta::assert_snapshot!(Bench::new().transcript(&[]));
}

#[test]
fn short_help() {
    insta::assert_snapshot!(Bench::new().transcript(&["-h"]));
}

#[test]
fn an_unknown_command_is_suggested() {
    insta::assert_snapshot!(Bench::new().transcript(&["verfy"]));
}

#[test]
fn an_unknown_flag_as_json() {
    insta::assert_snapshot!(Bench::new().transcript(&["verify", "--chekcs", "x.csv", "--json"]));
}

#[test]
fn a_clock_that_is_not_one() {
    let bench = Bench::new();
    let mut command = bench.command();
    command.env("COATBELL_NOW", "yesterday-ish").arg("verify");
    insta::assert_snapshot!(super::harness::transcript_of(&mut command, &["verify"]));
}

#[test]
fn every_command_has_examples_before_its_flags() {
    let help = Bench::new().transcript(&["--help"]);
    let commands: Vec<&str> = help
        .lines()
        .skip_while(|line| *line != "Begin:")
        .take_while(|line| !line.starts_with("Usage:"))
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(commands.contains(&"plan") && commands.contains(&"verify"), "no commands found in {help}");
    for command in commands {
        let help = Bench::new().transcript(&[command, "--help"]);
        let example = help.find(&format!("  coatbell {command}")).expect("an example");
        let usage = help.find("Usage:").expect("a usage line");
        assert!(example < usage, "{command}: examples come first");
    }
}

#[test]
fn a_plan_goes_into_a_calendar() {
    let bench = Bench::with("page.toml", super::harness::PAGE);
    let output = bench.command().args(["plan", "page.toml", "--format", "ics"]).output().expect("the binary runs");
    let text = String::from_utf8(output.stdout).expect("a calendar is UTF-8");
    assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"), "{text:?}");
    let said = bench.transcript(&["layers", "page.toml", "--format", "ics"]);
    assert!(said.contains("[exit 2]") && said.contains("only a plan can be written as a calendar"), "{said}");
}
