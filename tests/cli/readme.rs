//! What README.md promises: its first command works, and its example page is one.

use std::path::Path;

use coatbell::diagnostic::{SourceText, render};
use coatbell::input::{read_page, read_room, read_sealer};

use super::harness::Bench;

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    std::fs::read_to_string(path).expect("the project has a README.md")
}

/// The fenced texts of one language, in order.
fn fenced(language: &str) -> Vec<String> {
    let text = readme();
    let fence = format!("```{language}\n");
    let blocks = text.split(&fence).skip(1);
    blocks.filter_map(|block| block.split("\n```").next()).map(str::to_owned).collect()
}

#[test]
fn the_first_command_plans_a_page() {
    let shell = fenced("sh");
    let line = shell[0].lines().next().expect("a command");
    let typed = line.strip_prefix("cargo run --release -- ").expect("the first command runs the program");
    let mut command = Bench::new().command();
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(typed.split_whitespace());
    let output = command.output().expect("the binary runs");
    assert!(matches!(output.status.code(), Some(0 | 4)), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(String::from_utf8_lossy(&output.stdout).contains("Night market"));
    assert!(shell[0].lines().any(|line| line == "cargo test"));
}

#[test]
fn its_files_are_right() {
    let now = "2026-11-28T14:00:00+00:00[UTC]".parse().expect("a written moment");
    let files = fenced("toml");
    assert_eq!(files.len(), 3, "a page, a can and a room");
    let source = |number: usize| SourceText::new("README.md", &files[number]);
    let shown = |problems| render(&problems, false, 100);
    read_page(&source(0), &now).map_err(shown).expect("the page");
    read_sealer(&source(1)).map_err(shown).expect("the can");
    read_room(&source(2)).map_err(shown).expect("the room");
}

#[test]
fn the_page_in_words_is_planned() {
    let arguments = [
        "plan",
        "--media",
        "watercolour:wet-on-dry, alcohol-marker, wax-pencil",
        "--paper",
        "cardstock",
        "--temperature",
        "21 C",
        "--humidity",
        "48 %",
    ];
    let said = Bench::new().transcript(&arguments);
    assert!(readme().contains("--media \"watercolour:wet-on-dry, alcohol-marker, wax-pencil\" --paper cardstock"));
    assert!(said.contains("[exit 0]") || said.contains("[exit 4]"), "{said}");
}
