//! Mistakes a newcomer makes: each is answered by an error that names the place and the cure.
//!
//! A row is a mistake: what it is, the file with it, what was typed, the exit code, the place, the message, the hint.

use super::harness::{Bench, PAGE};

const ROOM: &str = "\
name = \"spare room\"
size = \"3.4 m x 2.8 m x 2.4 m\"
temperature = \"21 C\"
humidity = \"48 %\"
airflow = \"window-open\"
";

const CAN: &str = "\
extends = \"acrylic-gloss\"
name = \"shelf can\"
[label]
distance = \"6 in to 8 in\"
recoat = \"10 min to 15 min\"
[can]
net = \"300 g\"
left = \"210 g\"
[composition]
acetone = \"30 % to 45 %\"
";

/// The file with the mistake.
enum Input {
    /// A valid file with one text put in place of another.
    Changed(&'static str, &'static str, &'static str),
    /// A name and a whole content.
    File(&'static str, &'static str),
}

impl Input {
    fn file(&self) -> (&'static str, String) {
        match self {
            Self::Changed(valid, old, new) => {
                assert_eq!(valid.matches(old).count(), 1, "{old:?} stands once");
                let name = match *valid {
                    ROOM => "r.toml",
                    CAN => "c.toml",
                    _ => "p.toml",
                };
                (name, valid.replacen(old, new, 1))
            }
            Self::File(name, content) => (name, (*content).to_owned()),
        }
    }
}

type Mistake = (&'static str, Input, &'static [&'static str], i32, &'static str, &'static str, &'static str);

#[rustfmt::skip]
const MISTAKES: &[Mistake] = &[
    ("title without quotes", Input::Changed(PAGE, "title = \"Heron\"", "title = Heron"), &["plan", "p.toml"], 3, "p.toml:1:9", "this is not TOML: string values must be quoted, expected literal string", "text goes in quotes: `title = \"Lantern carp\"`"),
    ("bare size number", Input::Changed(PAGE, "size = \"A4\"", "size = 210"), &["plan", "p.toml"], 3, "p.toml:2:8", "`size` should be a text in quotes, not a bare number", "write `size = \"A4\"`"),
    ("size without unit", Input::Changed(PAGE, "size = \"A4\"", "size = \"210 x 297\""), &["plan", "p.toml"], 3, "p.toml:2:8", "`size`: `210 x 297` has no unit", "write `210 mm x 297 mm`, or the same in cm or in"),
    ("unknown size", Input::Changed(PAGE, "size = \"A4\"", "size = \"A44\""), &["plan", "p.toml"], 3, "p.toml:2:8", "`size`: `A44` is not a known size", "did you mean `a4`?"),
    ("size in one side", Input::Changed(PAGE, "size = \"A4\"", "size = \"30 cm\""), &["plan", "p.toml"], 3, "p.toml:2:8", "`size`: `30 cm` is not a known size", "write `A4`, `letter` or `210 mm x 297 mm`"),
    ("page ten metres", Input::Changed(PAGE, "size = \"A4\"", "size = \"3 m x 4 m\""), &["plan", "p.toml"], 3, "p.toml:2:8", "`size`: a side of 300 cm is not a page", "sides from 2 cm to 150 cm are planned"),
    ("misspelt medium", Input::Changed(PAGE, "medium = \"wax-pencil\"", "medium = \"wax pencl\""), &["plan", "p.toml"], 3, "p.toml:11:10", "there is no medium called `wax pencl`", "did you mean `wax-pencil`?"),
    ("unknown medium", Input::Changed(PAGE, "medium = \"wax-pencil\"", "medium = \"wall paint\""), &["plan", "p.toml"], 3, "p.toml:11:10", "there is no medium called `wall paint`", "`coatbell materials list` shows all media"),
    ("ambiguous medium", Input::Changed(PAGE, "medium = \"wax-pencil\"", "medium = \"coloured pencil\""), &["plan", "p.toml"], 3, "p.toml:11:10", "`coloured pencil` could be more than one medium", "say which: `wax-pencil` or `oil-pencil`"),
    ("misspelt paper", Input::Changed(PAGE, "paper = \"cardstock\"", "paper = \"cardstok\""), &["plan", "p.toml"], 3, "p.toml:3:9", "there is no paper called `cardstok`", "did you mean `cardstock`?"),
    ("misspelt key", Input::Changed(PAGE, "cover = \"20 %\"", "covr = \"20 %\""), &["plan", "p.toml"], 3, "p.toml:12:1", "unknown key `covr` in `layer 2`", "did you mean `cover`?"),
    ("american key", Input::Changed(PAGE, "paper = \"cardstock\"", "papper = \"cardstock\""), &["plan", "p.toml"], 3, "p.toml:3:1", "unknown key `papper`", "did you mean `paper`?"),
    ("cover without sign", Input::Changed(PAGE, "cover = \"20 %\"", "cover = 20"), &["plan", "p.toml"], 3, "p.toml:12:9", "`cover`: `20` has no unit, and this share needs one", "write `20 %`"),
    ("cover over all", Input::Changed(PAGE, "cover = \"20 %\"", "cover = \"120 %\""), &["plan", "p.toml"], 3, "p.toml:12:9", "`cover`: a share of 120 % is outside 0 % to 100 %", "give a value from 0 % to 100 %, or check the unit"),
    ("single brackets", Input::Changed(PAGE, "[[layer]]\nmedium = \"watercolour\"\ncover = \"60 %\"\n\n[[layer]]", "[layer]"), &["plan", "p.toml"], 3, "p.toml:6:1", "`layer` should be a list of tables", "write `[[layer]]` with two brackets"),
    ("finished tomorrow", Input::Changed(PAGE, "finished = \"5 days ago\"", "finished = \"in 2 days\""), &["plan", "p.toml"], 3, "p.toml:4:12", "`finished`: in 2 days is in the future", "leave `finished` out for a layer that is still to be laid"),
    ("finished in words", Input::Changed(PAGE, "finished = \"5 days ago\"", "finished = \"last week\""), &["plan", "p.toml"], 3, "p.toml:4:12", "`finished`: `last week` is not a time", "write a local time such as `2026-11-24 16:00`, or `3 days ago`"),
    ("day first date", Input::Changed(PAGE, "finished = \"5 days ago\"", "finished = \"24.11.2026\""), &["plan", "p.toml"], 3, "p.toml:4:12", "`finished`: `24.11.2026` is not a time", "write a local time such as `2026-11-24 16:00`, or `3 days ago`"),
    ("unknown technique", Input::Changed(PAGE, "cover = \"60 %\"", "technique = \"wet in wet\""), &["plan", "p.toml"], 3, "p.toml:8:13", "`wet in wet` is not a technique of `watercolour`", "did you mean `wet-on-wet`? `watercolour` has `wet-on-wet` or `wet-on-dry`"),
    ("finish misspelt", Input::Changed(PAGE, "paper = \"cardstock\"", "finish = \"glosy\"\npaper = \"cardstock\""), &["plan", "p.toml"], 3, "p.toml:3:10", "`glosy` is not a known `finish`", "did you mean `gloss`?"),
    ("no layers", Input::File("p.toml", "title = \"Heron\"\nsize = \"A4\"\npaper = \"cardstock\"\nfinished = \"5 days ago\"\n"), &["plan", "p.toml"], 3, "p.toml", "the page has no layers", "add a `[[layer]]` with its `medium` for each, bottom to top"),
    ("no paper", Input::Changed(PAGE, "paper = \"cardstock\"\nfinished = \"5 days ago\"", "finished = \"5 days ago\""), &["plan", "p.toml"], 3, "p.toml", "the file has no `paper`", "add `paper = \"cardstock\"`"),
    ("laydown misspelt", Input::Changed(PAGE, "cover = \"20 %\"", "laydown = \"thick\""), &["plan", "p.toml"], 3, "p.toml:12:11", "`thick` is not a known `laydown`", "use `light`, `normal` or `heavy`"),
    ("typographic quotes", Input::Changed(PAGE, "title = \"Heron\"", "title = “Heron”"), &["plan", "p.toml"], 3, "p.toml:1:9", "this is not TOML: string values must be quoted, expected literal string", "use straight quotes: `title = \"Lantern carp\"`"),
    ("key twice", Input::Changed(PAGE, "paper = \"cardstock\"", "size = \"A5\"\npaper = \"cardstock\""), &["plan", "p.toml"], 3, "p.toml:3:1", "duplicate key", "keep one of the two lines"),
    ("empty file", Input::File("p.toml", ""), &["plan", "p.toml"], 3, "p.toml", "the file is empty", "`coatbell new page` asks and writes one"),
    ("picture instead", Input::File("p.toml", "\0\0picture"), &["plan", "p.toml"], 3, "p.toml", "the file is binary, not text", "give a TOML text file; `coatbell new` writes one"),
    ("file misspelt", Input::File("page.toml", PAGE), &["plan", "pagee.toml"], 3, "pagee.toml", "there is no such file", "did you mean `page.toml`?"),
    ("ending forgotten", Input::File("page.toml", PAGE), &["plan", "page"], 3, "page", "there is no such file", "did you mean `page.toml`?"),
    ("folder", Input::File("d/page.toml", PAGE), &["plan", "d"], 3, "d", "this is a folder, not a file", "did you mean `d/page.toml`?"),
    ("room as page", Input::File("p.toml", ROOM), &["plan", "p.toml"], 3, "p.toml", "this is the file of a room, and a page is wanted here", "give it with `--room`"),
    ("page as room", Input::File("p.toml", PAGE), &["plan", "p.toml", "--room", "p.toml"], 3, "p.toml", "this is the file of a page, and a room is wanted here", "give it as the page, without a flag before it"),
    ("temperature with a colon", Input::Changed(ROOM, "temperature = \"21 C\"", "temperature = \"21:5 C\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:3:15", "`temperature`: `:5 C` is not a unit of temperature", "use `C`, `F` or `K`"),
    ("temp without unit", Input::Changed(ROOM, "temperature = \"21 C\"", "temperature = \"21\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:3:15", "`temperature`: `21` has no unit, and this temperature needs one", "write `21 C` or `21 F`"),
    ("humidity as fraction", Input::Changed(ROOM, "humidity = \"48 %\"", "humidity = 0.48"), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:4:12", "`humidity`: `0.48` has no unit, and this relative humidity needs one", "write `48 %` if you mean that share of the whole"),
    ("room two sides", Input::Changed(ROOM, "size = \"3.4 m x 2.8 m x 2.4 m\"", "size = \"3.4 m x 2.8 m\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:2:8", "`size`: `3.4 m x 2.8 m` is not three sides", "write `3.4 m x 2.8 m x 2.4 m`"),
    ("airflow misspelt", Input::Changed(ROOM, "airflow = \"window-open\"", "airflow = \"windw open\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:5:11", "`windw open` is not a known `airflow`", "did you mean `window-open`?"),
    ("airflow yes", Input::Changed(ROOM, "airflow = \"window-open\"", "airflow = \"yes\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:5:11", "`yes` is not a known `airflow`", "use `closed`, `window-ajar`, `window-open`, `cross-draught`, `window-fan`, `outdoors`, `cross-draft` or `outside`"),
    ("ignition in words", Input::Changed(ROOM, "airflow = \"window-open\"", "ignition = \"no\"\nairflow = \"window-open\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:5:12", "`ignition` should be true or false, not a text", "write `ignition = true` or `ignition = false`, without quotes"),
    ("temp swapped unit", Input::Changed(ROOM, "temperature = \"21 C\"", "temperature = \"70 C\""), &["plan", "p.toml", "--room", "r.toml"], 3, "r.toml:3:15", "`temperature`: a temperature of 70 C is outside -40 C to 60 C", "give a value from -40 C to 60 C, or check the unit"),
    ("distance without unit", Input::Changed(CAN, "distance = \"6 in to 8 in\"", "distance = \"6 to 8\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:4:12", "`distance`: `8` has no unit, and this length needs one", "write `8 cm` or `8 in`"),
    ("distance backwards", Input::Changed(CAN, "distance = \"6 in to 8 in\"", "distance = \"8 in to 6 in\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:4:12", "`distance`: the range `8 in to 6 in` runs backwards", "write the smaller value first"),
    ("minutes as M", Input::Changed(CAN, "recoat = \"10 min to 15 min\"", "recoat = \"15 M\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:5:10", "`recoat`: `M` is not a unit of time", "did you mean `min`?"),
    ("recoat without unit", Input::Changed(CAN, "recoat = \"10 min to 15 min\"", "recoat = 15"), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:5:10", "`recoat`: `15` has no unit, and this time needs one", "write `15 min` or `15 h`"),
    ("volume for net", Input::Changed(CAN, "net = \"300 g\"", "net = \"400 ml\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:7:7", "`net`: `ml` is not a unit of mass", "write its weight, in `g` or `oz`: a can states one beside its volume"),
    ("more left than net", Input::Changed(CAN, "left = \"210 g\"", "left = \"400 g\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:8:8", "`left`: more is left than the can ever held", "weigh the can and take off the weight of an empty one"),
    ("cas wrong digit", Input::Changed(CAN, "acetone = \"30 % to 45 %\"", "\"67-64-2\" = \"30 % to 45 %\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:10:1", "`67-64-2` is not a CAS number: its last digit does not check", "compare it with the sheet, digit by digit"),
    ("unknown substance", Input::Changed(CAN, "acetone = \"30 % to 45 %\"", "aceton = \"30 % to 45 %\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:10:1", "there is no substance called `aceton`", "did you mean `acetone` or `diacetone-alcohol`? Or write its CAS number from the sheet"),
    ("over 100", Input::Changed(CAN, "acetone = \"30 % to 45 %\"", "acetone = \"60 %\"\nxylene = \"60 %\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:11:10", "the low ends of the shares add up to 120 %", "copy the shares again from section 3 of the sheet: the low ends add up to 100 % at most"),
    ("share no sign", Input::Changed(CAN, "acetone = \"30 % to 45 %\"", "acetone = \"30 - 45\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:10:11", "`acetone`: `45` has no unit, and this share needs one", "write the share as the sheet does: `30 % to 45 %`, `30 - 45 %`, `< 10 %`"),
    ("extends unknown", Input::Changed(CAN, "extends = \"acrylic-gloss\"", "extends = \"acrylic glos\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml:1:11", "there is no sealer called `acrylic glos`", "did you mean `acrylic-gloss` or `acrylic-gloss-aromatic`?"),
    ("extends missing", Input::Changed(CAN, "extends = \"acrylic-gloss\"\nname = \"shelf can\"", "name = \"shelf can\""), &["plan", "p.toml", "--sealer", "c.toml"], 3, "c.toml", "the file has no `extends`", "add `extends = \"acrylic-gloss\"`"),
    ("command misspelt", Input::File("p.toml", PAGE), &["pln", "p.toml"], 2, "", "unrecognized subcommand 'pln'", "a similar subcommand exists: 'plan'"),
    ("flag misspelt", Input::File("p.toml", PAGE), &["plan", "p.toml", "--sealr", "acrylic-gloss"], 2, "", "unexpected argument '--sealr' found", "a similar argument exists: '--sealer'"),
    ("sealer misspelt", Input::File("p.toml", PAGE), &["plan", "p.toml", "--sealer", "acrylic-glos"], 2, "", "there is no sealer called `acrylic-glos`", "did you mean `acrylic-gloss` or `acrylic-gloss-aromatic`?"),
    ("sealer ambiguous", Input::File("p.toml", PAGE), &["plan", "p.toml", "--sealer", "matte fixative"], 2, "", "`matte fixative` could be more than one sealer", "say which: `workable-fixative` or `final-fixative`"),
    ("room misspelt", Input::File("p.toml", PAGE), &["plan", "p.toml", "--room", "window-opn"], 2, "", "there is no room called `window-opn`", "did you mean `window-open` or `window-fan`?"),
    ("time misspelt", Input::File("p.toml", PAGE), &["plan", "p.toml", "--start", "six"], 2, "", "`--start`: `six` is not a time", "write `18:00`, `6 pm`, `2026-11-28 14:00` or `\"in 2 h\"`"),
    ("time unquoted", Input::File("p.toml", PAGE), &["plan", "p.toml", "--start", "in", "2", "h"], 2, "", "unexpected argument '2' found", "put words that belong together in quotes, as `--start \"in 2 h\"`"),
    ("temperature bare", Input::File("p.toml", PAGE), &["plan", "p.toml", "--temperature", "21"], 2, "", "`--temperature`: `21` has no unit, and this temperature needs one", "write `21 C` or `21 F`"),
    ("no page", Input::File("p.toml", PAGE), &["plan"], 2, "", "the following required arguments were not provided:\n  <PAGE>", "name the file of a page; `coatbell new page` asks and writes one"),
    ("media without paper", Input::File("p.toml", PAGE), &["plan", "--media", "watercolour"], 2, "", "the following required arguments were not provided:\n  --paper <PAPER>", "say what it is on, as `--paper cardstock`"),
    ("media misspelt", Input::File("p.toml", PAGE), &["plan", "--media", "watercolour, waxpencl", "--paper", "cardstock"], 2, "<command line>:1:22", "there is no medium called `waxpencl`", "did you mean `wax-pencil`?"),
    ("output over input", Input::File("p.toml", PAGE), &["plan", "p.toml", "-o", "p.toml"], 2, "", "`p.toml` is one of the files this answer was made from", "give `-o` another name"),
    ("new over old", Input::File("p.toml", PAGE), &["new", "page", "p.toml", "--title", "X", "--size", "A4", "--paper", "cardstock", "--finished", "yesterday", "--layer", "watercolour"], 2, "", "`p.toml` is there already, and stays as it is", "give another name, or `--force` to write over it"),
    ("new alone", Input::File("p.toml", PAGE), &["new", "room"], 2, "", "nobody can be asked here, and `new room` still needs `--airflow`, `--size`, `--temperature`, `--humidity` and `--ignition`", "give `--airflow`, `--size`, `--temperature`, `--humidity` and `--ignition`, or run it in a terminal; see `coatbell new room --help`"),
    ("new bad answer", Input::File("p.toml", PAGE), &["new", "room", "--airflow", "windowopen", "--size", "3 x 4 m", "--temperature", "21 C", "--humidity", "50 %", "--ignition", "no"], 2, "", "`--airflow`: `windowopen` is not a known `airflow`", "did you mean `window-open`?"),
    ("finish by past", Input::File("p.toml", PAGE), &["plan", "p.toml", "--finish-by", "13:00"], 2, "", "`--finish-by`: `13:00` has passed already", "write the day too, as `2026-11-29 18:00`, or `in 3 h`"),
    ("ics from layers", Input::File("p.toml", PAGE), &["layers", "p.toml", "--format", "ics"], 2, "", "only a plan, a forecast or a batch can be written as a calendar", "use `--format text` or `--format json`"),
];

#[test]
fn every_mistake_is_answered_with_its_place_and_its_cure() {
    assert!(MISTAKES.len() >= 40);
    let mut wrong = Vec::new();
    for (what, input, arguments, exit, place, message, hint) in MISTAKES {
        let bench = Bench::new();
        bench.write("p.toml", PAGE);
        let (name, content) = input.file();
        if let Some((folder, _)) = name.split_once('/') {
            std::fs::create_dir(bench.path(folder)).expect("a folder in a temporary folder can be made");
        }
        if name == "page.toml" {
            std::fs::remove_file(bench.path("p.toml")).expect("written above");
        }
        bench.write(name, content);
        // Wide, so that no line is broken; the width is another test's.
        let output = bench.command().env("COLUMNS", "400").args(*arguments).output().expect("the binary runs");
        let said = String::from_utf8(output.stderr).expect("errors are UTF-8");
        let at = if place.is_empty() { String::new() } else { format!("--> {place}\n") };
        let says_all = said.starts_with(&format!("error: {message}"))
            && said.contains(&at)
            && [format!("hint: {hint}"), format!("tip: {hint}")].iter().any(|cure| said.contains(cure.as_str()));
        if output.status.code() != Some(*exit) || !says_all {
            wrong.push(format!("{what} [exit {:?}]:\n{said}", output.status.code()));
        }
        assert!(output.stdout.is_empty(), "{what}: an answer beside the error");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn the_valid_files_are_valid() {
    let bench = Bench::with("p.toml", PAGE);
    bench.write("r.toml", ROOM);
    bench.write("c.toml", CAN);
    let said = bench.transcript(&["plan", "p.toml", "--room", "r.toml", "--sealer", "c.toml", "--exit-zero", "-q"]);
    assert!(said.contains("[exit 0]") && !said.contains("error"), "{said}");
}

/// A file written from flags is read back by the plan, and the answer to `--finish-by` comes first.
#[test]
fn new_files_make_a_plan() {
    let bench = Bench::new();
    let page = [
        "new",
        "page",
        "--title",
        "Lantern carp",
        "--size",
        "A4",
        "--paper",
        "cardstock",
        "--finish",
        "satin",
        "--finished",
        "5 days ago",
        "--print",
        "laser",
        "--layer",
        "watercolour: wet-on-dry: 60 %",
        "--layer",
        "wax pencils, 20 %",
    ];
    let said = bench.transcript(&page);
    assert!(said.contains("[exit 0]\n--- stdout\nwrote lantern-carp.toml"), "{said}");
    let room = [
        "new",
        "room",
        "--name",
        "Spare room",
        "--airflow",
        "window open",
        "--size",
        "3.4 x 2.8 x 2.4 m",
        "--temperature",
        "21 C",
        "--humidity",
        "48 %",
        "--ignition",
        "no",
    ];
    assert!(bench.transcript(&room).contains("wrote spare-room.toml"));
    let can = [
        "new",
        "sealer",
        "can.toml",
        "--extends",
        "acrylic satin",
        "--recoat",
        "10-15 min",
        "--part",
        "Acetone 67-64-1 30 - 45 %",
        "--part",
        "xylene <5",
    ];
    assert!(bench.transcript(&can).contains("wrote can.toml"));
    let plan = [
        "plan",
        "lantern-carp.toml",
        "--room",
        "spare-room.toml",
        "--sealer",
        "can.toml",
        "--finish-by",
        "15:00",
        "--exit-zero",
    ];
    let said = bench.transcript(&plan);
    assert!(said.contains("[exit 0]\n--- stdout\nBy 15:00: "), "{said}");
}

#[test]
fn completions_and_manual_pages_for_all() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = bench.command().args(["completions", shell]).output().expect("the binary runs");
        assert!(output.status.success() && output.stdout.len() > 1000, "{shell}");
    }
    for page in [&["man"][..], &["man", "plan"], &["man", "new"]] {
        let output = bench.command().args(page).output().expect("the binary runs");
        let text = String::from_utf8(output.stdout).expect("a manual page is UTF-8");
        assert!(text.contains(".SH NAME") && text.contains(".SH OPTIONS"), "{page:?}: {text}");
    }
    assert!(bench.transcript(&["man", "plann"]).contains("hint: did you mean `plan`?"));
}

/// Nobody takes a page up by the table before the clock says so.
#[test]
fn the_table_and_the_clock_agree_on_handling() {
    let bench = Bench::with("p.toml", PAGE);
    let said =
        bench.transcript(&["plan", "p.toml", "--room", "window-open", "--sealer", "acrylic-gloss", "--exit-zero"]);
    let clock = |line: &str| -> jiff::civil::Time {
        line.split_whitespace().next().and_then(|t| t.parse().ok()).expect("a time")
    };
    let lines: Vec<&str> = said.lines().collect();
    let at = lines.iter().position(|line| line.contains("to handle")).expect("the last row of the table");
    let wait = lines[at - 1].rsplit("  ").next().expect("the wait").trim();
    let handled = lines.iter().find(|line| line.contains("Handle by the edges")).expect("the time of handling");
    let last = clock(lines[at]);
    let minutes = last.until(clock(handled)).expect("later the same day").get_minutes()
        + 60 * i64::from(last.until(clock(handled)).expect("later the same day").get_hours());
    assert_eq!(wait, coatbell::quantity::minutes_in_words(minutes), "{said}");
}
