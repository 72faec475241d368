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
    assert!(
        said.contains("[exit 2]") && said.contains("only a plan, a forecast or a batch can be written as a calendar"),
        "{said}"
    );
}

#[test]
fn every_command_has_its_manual_page() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("man1")).expect("a folder");
    bench.command().args(["man", "--all", "man1"]).assert().success();
    let mut written: Vec<String> = std::fs::read_dir(bench.path("man1"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    let definition = coatbell::cli::command_line();
    let mut wanted: Vec<String> =
        definition.get_subcommands().map(|command| format!("coatbell-{}.1", command.get_name())).collect();
    wanted.push("coatbell.1".to_owned());
    wanted.sort();
    written.sort();
    assert_eq!(written, wanted);
    for name in &written {
        let page = std::fs::read_to_string(bench.path("man1").join(name)).expect("a page");
        assert!(page.contains(".TH") && page.contains(".SH EXAMPLES\n.nf\ncoatbell"), "{name}");
    }
    insta::assert_snapshot!(bench.transcript(&["man", "--all", "nowhere"]));
}
