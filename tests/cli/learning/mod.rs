//! What the program learns: measurements, scraps and past runs, through the binary.

mod history;
mod measure;
mod next;
#[cfg(unix)]
mod run;
mod scrap;

use assert_cmd::Command;

use super::harness::{Bench, PAGE, transcript_of};

const ROOM: &str =
    "size = \"3.4 m x 2.8 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"window-open\"\n";

/// A page, a room and a can of one's own, and a place for what is learnt.
struct Desk {
    bench: Bench,
}

impl Desk {
    fn new() -> Self {
        let bench = Bench::with("page.toml", PAGE);
        bench.write("room.toml", ROOM);
        bench.write("shelf.toml", "extends = \"acrylic-gloss\"\nname = \"gloss from the shelf\"\n");
        Self { bench }
    }

    fn command(&self, columns: u32) -> Command {
        let mut command = self.bench.command();
        // Places that read the same in every folder.
        command.env("COATBELL_CONFIG", "kept").env("COATBELL_STATE", "state").env("COLUMNS", columns.to_string());
        command
    }

    /// Runs a command on 80 columns and writes down all it said.
    fn says(&self, arguments: &[&str]) -> String {
        self.says_on(80, arguments)
    }

    fn says_on(&self, columns: u32, arguments: &[&str]) -> String {
        let text = transcript_of(self.command(columns).args(arguments), arguments);
        for line in text.lines().skip(1) {
            assert!(line.chars().count() <= columns as usize || !line.contains(' '), "over {columns}: {line}");
        }
        text
    }

    /// The document of a command that worked.
    fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let output = self.command(80).args(arguments).arg("--json").output().expect("it runs");
        let text = String::from_utf8_lossy(&output.stdout);
        assert!(output.status.success(), "{arguments:?}: {text}{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"))
    }

    fn plan(&self) -> serde_json::Value {
        self.json(&["plan", "page.toml", "--room", "room.toml", "--sealer", "acrylic-gloss"])
    }

    /// The code of an error, with its exit code.
    fn refused(&self, arguments: &[&str]) -> (String, i32) {
        let output = self.command(80).args(arguments).arg("--json").output().expect("it runs");
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let code = document["errors"][0]["code"].as_str().unwrap_or_default().to_owned();
        (code, output.status.code().unwrap_or(-1))
    }
}

/// `measure WHAT --sealer acrylic-gloss …`.
fn measure<'w>(what: &'w str, more: &[&'w str]) -> Vec<&'w str> {
    ["measure", what, "--sealer", "acrylic-gloss"].iter().chain(more).copied().collect()
}

const CAN: [&str; 6] = ["--before", "312 g", "--after", "303 g", "--seconds", "10"];
const CONE: [&str; 4] = ["--distance", "30 cm", "--width", "13 cm"];
const CARD: [&str; 12] = [
    "--card",
    "A4",
    "--swept",
    "45 cm x 35 cm",
    "--before",
    "15.60 g",
    "--after",
    "15.82 g",
    "--seconds",
    "8",
    "--distance",
    "20 cm",
];
