//! Two writers on every file the program writes: measurements, answers, new files. (Journals and the history: `seal::ends`
//! and `faults::state`; what is left in the cans: beside its code.)

use std::process::{Child, Stdio};

use super::{bench, end_with};
use crate::cli::harness::Bench;

/// Starts a command without waiting for it.
fn begin(bench: &Bench, arguments: &[&str]) -> Child {
    let mut command = bench.process(arguments);
    command.env("COATBELL_CONFIG", "kept").env("COATBELL_STATE", "state");
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("it starts")
}

fn codes(writers: Vec<Child>) -> Vec<Option<i32>> {
    writers.into_iter().map(|mut writer| writer.wait().expect("it ends").code()).collect()
}

#[test]
fn measurements_taken_at_once_are_all_kept() {
    let bench = bench();
    let widths: Vec<String> = (0..8).map(|n| format!("{:.1} cm", 12.5 + 0.1 * f64::from(n))).collect();
    let measure = |width: &String| {
        begin(&bench, &["measure", "cone", "--sealer", "acrylic-gloss", "--distance", "30 cm", "--width", width])
    };
    assert_eq!(codes(widths.iter().map(measure).collect()), [Some(0); 8]);
    let mut shown = bench.command();
    shown.env("COATBELL_CONFIG", "kept").env("COATBELL_STATE", "state");
    let said = end_with(shown.args(["measure", "show", "--sealer", "acrylic-gloss", "--json"]), &[0], "show");
    let document: serde_json::Value = serde_json::from_str(&said.out).expect("a document");
    assert_eq!(document["measurements"].as_array().map(Vec::len), Some(8), "{}", said.out);
}

#[test]
fn of_two_answers_into_one_file_one_stands_whole() {
    let bench = bench();
    let plan =
        |file: &'static str, sealer: &'static str| ["plan", "page.toml", "--sealer", sealer, "--json", "-o", file];
    let answered = |codes: Vec<Option<i32>>| codes.iter().all(|code| matches!(code, Some(0 | 4)));
    assert!(answered(codes(vec![
        begin(&bench, &plan("gloss.json", "acrylic-gloss")),
        begin(&bench, &plan("satin.json", "acrylic-satin")),
    ])));
    let of = |file: &str| std::fs::read_to_string(bench.path(file)).expect("an answer");
    let whole = [of("gloss.json"), of("satin.json")];
    assert_ne!(whole[0], whole[1]);
    for _ in 0..4 {
        let writers =
            ["acrylic-gloss", "acrylic-satin", "acrylic-gloss"].map(|sealer| begin(&bench, &plan("one.json", sealer)));
        assert!(answered(codes(Vec::from(writers))));
        assert!(whole.contains(&of("one.json")));
    }
    let left = std::fs::read_dir(bench.path("")).expect("the folder").flatten();
    assert_eq!(left.filter(|entry| entry.file_name().to_string_lossy().contains(".tmp")).count(), 0);
}

#[test]
fn of_two_new_files_of_one_name_the_first_stays() {
    let bench = bench();
    for turn in 0..4 {
        let file = format!("room-{turn}.toml");
        let room = |temperature: &'static str| {
            begin(
                &bench,
                &[
                    "new",
                    "room",
                    &file,
                    "--airflow",
                    "outdoors",
                    "--temperature",
                    temperature,
                    "--humidity",
                    "50 %",
                    "--ignition",
                    "no",
                ],
            )
        };
        let temperatures = ["21 C", "22 C", "23 C"];
        let ended = codes(temperatures.map(room).into());
        assert_eq!(ended.iter().filter(|code| **code == Some(0)).count(), 1, "{ended:?}");
        let first = ended.iter().position(|code| *code == Some(0)).expect("counted above");
        let text = std::fs::read_to_string(bench.path(&file)).expect("a room");
        assert!(text.contains("outdoors") && text.contains(temperatures[first]), "{ended:?}: {text}");
    }
}
