//! `new batch` looks into every file it is told, before it writes anything.

use super::harness::{Bench, PAGE, page_with};

fn asked(bench: &Bench, pages: &[&str], more: &[&str]) -> std::process::Output {
    let mut command = bench.command();
    command.args(["new", "batch", "evening/batch.toml", "--rack", "6", "--start", "18:00"]);
    for page in pages {
        command.args(["--page", page]);
    }
    command.args(more).output().expect("it runs")
}

fn folder() -> Bench {
    let bench = Bench::with("page.toml", PAGE);
    std::fs::create_dir(bench.path("evening")).expect("a folder");
    bench
}

#[test]
fn every_fault_of_the_named_files_comes_at_once_and_nothing_is_written() {
    let bench = folder();
    bench.write("evening/wrong.toml", page_with("wax-pencil", "wax-pensil"));
    bench.write("evening/can.toml", "name = \"Shelf\"\nextends = \"acrylic-glos\"\n");
    let pages =
        ["wrong.toml", "missing.toml, acrylic-satin, 2", "../page.toml, can.toml", "../page.toml, acrylic-stain"];
    let output = asked(&bench, &pages, &["--room", "spare-rom.toml"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{said}");
    for wanted in [
        "wrong.toml:11:10",
        "wax-pencil",
        "missing.toml",
        "can.toml:2:11",
        "acrylic-gloss",
        "<command line>",
        "acrylic-stain",
        "acrylic-satin",
        "spare-rom.toml",
    ] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
    assert!(!bench.path("evening/batch.toml").exists());
}

#[test]
fn good_files_are_written_with_what_to_do_next() {
    let bench = folder();
    let output = asked(&bench, &["../page.toml, acrylic-satin, 3"], &["--room", "cross-draught"]);
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(0), "{said} {}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("coatbell batch evening/batch.toml --room cross-draught"), "{said}");
    let output =
        bench.command().args(["batch", "evening/batch.toml", "-q", "--effort", "quick"]).output().expect("runs");
    assert!(output.status.code().is_some_and(|code| code == 0 || code == 4), "{output:?}");
}
