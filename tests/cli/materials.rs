//! `materials`: listing, showing, checking.

use super::harness::Bench;

#[test]
fn a_kind_is_listed() {
    insta::assert_snapshot!(Bench::new().transcript(&["materials", "list", "papers"]));
}

#[test]
fn everything_is_listed_by_id() {
    let said = Bench::new().transcript(&["materials", "list", "-q"]);
    for id in ["watercolour", "bristol-smooth", "acrylic-gloss", "acetone", "window-open"] {
        assert!(said.lines().any(|line| line == id), "no {id} in {said}");
    }
}

#[test]
fn a_medium_is_shown_with_what_its_figures_stand_on() {
    insta::assert_snapshot!(Bench::new().transcript(&["materials", "show", "wax pencils"]));
}

#[test]
fn a_sealer_is_shown_with_what_is_in_it() {
    insta::assert_snapshot!(Bench::new().transcript(&["materials", "show", "acrylic-gloss"]));
}

#[test]
fn nothing_of_that_name() {
    insta::assert_snapshot!(Bench::new().transcript(&["materials", "show", "acrylic glos"]));
}

#[test]
fn a_screen_without_symbols() {
    let bench = Bench::new();
    let mut command = bench.command();
    command.env("LC_ALL", "C").args(["materials", "show", "wax-pencil"]);
    let output = command.output().expect("the binary runs");
    assert!(output.stdout.is_ascii(), "{}", String::from_utf8_lossy(&output.stdout));
}

#[test]
fn no_files_of_ones_own() {
    let bench = Bench::new();
    let said = bench.transcript(&["materials", "check"]);
    assert!(said.contains("[exit 0]") && said.contains("there are no files of your own in"), "{said}");
}

#[test]
fn a_file_of_ones_own_is_read() {
    let bench = Bench::with("mine.toml", "[medium.sparkle]\nextends = \"gel-pen\"\nname = \"the sparkly ones\"\n");
    insta::assert_snapshot!(bench.transcript(&["materials", "check", "mine.toml"]));
}

#[test]
fn a_folder_of_ones_own_is_on_the_shelves() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("own")).expect("a folder");
    bench.write("own/pens.toml", "[medium.sparkle]\nextends = \"gel-pen\"\nname = \"the sparkly ones\"\n");
    let mut command = bench.command();
    command.env("COATBELL_MATERIALS", bench.path("own")).args(["materials", "show", "sparkle"]);
    let output = command.output().expect("the binary runs");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(said.starts_with("The sparkly ones (medium `sparkle`)"), "{said}");
}

#[test]
fn an_entry_that_extends_itself() {
    let bench = Bench::with("mine.toml", "[medium.sparkle]\nextends = \"sparkle\"\n");
    insta::assert_snapshot!(bench.transcript(&["materials", "check", "mine.toml"]));
}

#[test]
fn entries_that_extend_each_other() {
    let mine = "[sealer.one]\nextends = \"two\"\n\n[sealer.two]\nextends = \"one\"\n";
    insta::assert_snapshot!(Bench::with("mine.toml", mine).transcript(&["materials", "check", "mine.toml"]));
}
