//! Files that are not what they should be.

use std::io::Write;

use super::bad_pages::COMMAND;
use super::harness::{Bench, PAGE, page_with, transcript_of};

#[test]
fn a_missing_file_with_a_near_name() {
    insta::assert_snapshot!(Bench::with("carp.toml", PAGE).transcript(&[COMMAND, "crap.toml"]));
}

#[test]
fn a_missing_ending() {
    insta::assert_snapshot!(Bench::with("carp.toml", PAGE).transcript(&[COMMAND, "carp"]));
}

#[test]
fn a_missing_folder() {
    insta::assert_snapshot!(Bench::new().transcript(&[COMMAND, "pages/carp.toml"]));
}

#[test]
fn a_folder() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("pages")).expect("a folder");
    bench.write("pages/carp.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "pages"]));
}

#[test]
fn an_empty_file() {
    insta::assert_snapshot!(Bench::with("page.toml", "\n  \n").transcript(&[COMMAND, "page.toml"]));
}

#[test]
fn a_hundred_megabytes() {
    let bench = Bench::with("page.toml", "");
    let file = std::fs::OpenOptions::new().write(true).open(bench.path("page.toml")).expect("the file");
    file.set_len(100_000_000).expect("a sparse file");
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml"]));
}

#[cfg(unix)]
#[test]
fn an_endless_device() {
    insta::assert_snapshot!(Bench::new().transcript(&[COMMAND, "/dev/zero"]));
}

#[test]
fn a_binary_file() {
    insta::assert_snapshot!(Bench::with("page.toml", b"\x7fELF\0\0\x01").transcript(&[COMMAND, "page.toml"]));
}

#[test]
fn not_utf8() {
    let latin = b"title = \"Heron\"\npaper = \"caf\xe9\"\n";
    insta::assert_snapshot!(Bench::with("page.toml", latin).transcript(&[COMMAND, "page.toml"]));
}

#[test]
fn a_byte_order_mark_is_read_over() {
    let bench = Bench::with("page.toml", format!("\u{feff}{}", page_with("\"A4\"", "\"A44\"")));
    let said = bench.transcript(&[COMMAND, "page.toml"]);
    assert!(said.contains("page.toml:2:8"), "{said}");
}

#[test]
fn a_room_too_damp_to_be_one() {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("room.toml", "size = \"3 m x 3 m x 2.4 m\"\nhumidity = \"140 %\"\nairflow = \"open\"\n");
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--room", "room.toml"]));
}

#[test]
fn page_and_room_are_complained_of_together() {
    let bench = Bench::with("page.toml", page_with("\"A4\"", "\"A44\""));
    bench.write("room.toml", "size = \"3 m\"\n");
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--room", "room.toml"]));
}

#[test]
fn a_can_that_builds_on_itself() {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("can.toml", "extends = \"can.toml\"\n");
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--sealer", "can.toml"]));
}

#[test]
fn an_unknown_sealer() {
    let bench = Bench::with("page.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--sealer", "acrylic-glos"]));
}

#[test]
fn an_unknown_room() {
    let bench = Bench::with("page.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--room", "spare-romm.toml"]));
}

#[test]
fn standard_input_twice() {
    insta::assert_snapshot!(Bench::new().transcript(&[COMMAND, "-", "--room", "-"]));
}

#[test]
fn standard_input_is_named_in_errors() {
    let bench = Bench::new();
    let mut command = bench.command();
    command.args([COMMAND, "-"]).write_stdin(page_with("\"A4\"", "\"A44\""));
    insta::assert_snapshot!(transcript_of(&mut command, &[COMMAND, "-"]));
}

#[test]
fn words_are_complained_of_like_a_file() {
    let arguments = [COMMAND, "--media", "watercolour, wax-pencl:40 %", "--paper", "cardstock"];
    insta::assert_snapshot!(Bench::new().transcript(&arguments));
}

#[test]
fn a_bare_temperature() {
    let bench = Bench::with("page.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&[COMMAND, "page.toml", "--temperature", "21"]));
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    use std::process::Stdio;
    let bench = Bench::new();
    let mut command = bench.process(&["materials", "list"]);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the binary runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the binary ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}

#[test]
fn an_answer_is_never_written_over_its_own_page() {
    let bench = Bench::with("page.toml", PAGE);
    let said = bench.transcript(&[COMMAND, "page.toml", "-o", "page.toml"]);
    assert_eq!(std::fs::read_to_string(bench.path("page.toml")).expect("the page"), PAGE);
    insta::assert_snapshot!(said);
}

#[test]
fn an_answer_goes_into_a_file() {
    let bench = Bench::new();
    let said = bench.transcript(&["materials", "list", "--json", "-o", "list.json"]);
    assert_eq!(said, "$ coatbell materials list --json -o list.json\n[exit 0]\n--- stderr\nwrote list.json\n");
    let text = std::fs::read_to_string(bench.path("list.json")).expect("the answer");
    let document: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(document["schema"], "coatbell.materials/1");
}

#[test]
fn an_answer_cannot_go_into_a_folder() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("answers")).expect("a folder");
    insta::assert_snapshot!(bench.transcript(&["materials", "list", "-o", "answers"]));
}

#[cfg(unix)]
#[test]
fn a_full_disk_is_an_error() {
    let bench = Bench::new();
    let mut command = bench.command();
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    let Ok(mut full) = full else { return crate::support::skip("there is no /dev/full here") };
    assert!(full.write_all(b"x").is_err(), "this system has a /dev/full that is never full");
    command.args(["materials", "list", "-o", "/dev/full"]);
    insta::assert_snapshot!(transcript_of(&mut command, &["materials", "list", "-o", "/dev/full"]));
}
