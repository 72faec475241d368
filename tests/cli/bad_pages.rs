//! A page file with one thing wrong: what, where, and what to do. Whole output, reviewed by eye.

use std::fmt::Write;

use super::harness::{Bench, PAGE, page_with};

/// The command that reads a page.
pub(crate) const COMMAND: &str = "plan";

fn said_of(page: &str) -> String {
    Bench::with("page.toml", page).transcript(&[COMMAND, "page.toml"])
}

#[test]
fn unknown_medium() {
    insta::assert_snapshot!(said_of(&page_with("wax-pencil", "wax-pencl")));
}

#[test]
fn unknown_paper() {
    insta::assert_snapshot!(said_of(&page_with("cardstock", "card stok")));
}

#[test]
fn unknown_technique() {
    insta::assert_snapshot!(said_of(&page_with("cover = \"60 %\"", "cover = \"60 %\"\ntechnique = \"wet-on-dri\"")));
}

#[test]
fn unknown_key() {
    insta::assert_snapshot!(said_of(&page_with("cover", "covr")));
}

#[test]
fn unknown_unit() {
    insta::assert_snapshot!(said_of(&page_with("\"A4\"", "\"210 mn x 297 mn\"")));
}

#[test]
fn bare_number() {
    insta::assert_snapshot!(said_of(&page_with("size = \"A4\"", "size = \"A4\"\ngrammage = 250")));
}

#[test]
fn page_of_no_size() {
    insta::assert_snapshot!(said_of(&page_with("\"A4\"", "\"0 cm x 20 cm\"")));
}

#[test]
fn page_of_three_metres() {
    insta::assert_snapshot!(said_of(&page_with("\"A4\"", "\"1 m x 3 m\"")));
}

#[test]
fn cover_over_the_whole_page() {
    insta::assert_snapshot!(said_of(&page_with("60 %", "160 %")));
}

#[test]
fn finished_in_the_future() {
    insta::assert_snapshot!(said_of(&page_with("5 days ago", "2026-11-29 10:00")));
}

#[test]
fn no_layers() {
    let head = PAGE.split("[[layer]]").next().expect("a head");
    insta::assert_snapshot!(said_of(head));
}

#[test]
fn one_bracket_too_few() {
    insta::assert_snapshot!(said_of(&page_with("[[layer]]", "[layer]")));
}

#[test]
fn a_text_without_its_end() {
    insta::assert_snapshot!(said_of(&page_with("\"Heron\"", "\"Heron")));
}

#[test]
fn several_problems_at_once() {
    let page = PAGE
        .replace("\"A4\"", "\"A44\"")
        .replace("60 %", "60")
        .replace("wax-pencil", "wax-pencl")
        .replace("paper", "papper");
    insta::assert_snapshot!(said_of(&page));
}

#[test]
fn several_problems_as_json() {
    let page = PAGE.replace("\"A4\"", "\"A44\"").replace("60 %", "60");
    insta::assert_snapshot!(Bench::with("page.toml", page).transcript(&[COMMAND, "page.toml", "--json"]));
}

#[test]
fn hidden_characters_of_a_file_never_reach_the_screen() {
    let page = page_with("paper = \"cardstock\"", "paper = \"card\\u001b[31m\u{202e}stock\"");
    let said = said_of(&page);
    assert!(!said.contains('\u{1b}') && !said.contains('\u{202e}'), "{said:?}");
    insta::assert_snapshot!(said);
}

#[test]
fn a_very_wrong_file_is_not_drowned_in() {
    let mut page = PAGE.to_owned();
    for number in 0..500 {
        let _ = writeln!(page, "wrong{number} = 1");
    }
    let said = said_of(&page);
    assert!(said.lines().count() < 400, "{} lines", said.lines().count());
    assert!(said.contains("and 460 more"), "{said}");
}

#[test]
fn deep_nesting_is_an_error_and_not_a_crash() {
    let page = format!("title = {}1{}\n", "[".repeat(100_000), "]".repeat(100_000));
    let said = said_of(&page);
    assert!(said.contains("[exit 3]"), "{}", &said[..said.len().min(400)]);
}
