//! Whole files of every kind, to break and to mutate.

use std::path::Path;

use crate::cli::examples::files_of;

/// The kinds of files a person can write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Page,
    Room,
    Can,
    Materials,
    Checks,
    Bench,
    Evening,
    Forecast,
}

/// A whole file.
pub(crate) struct Sample {
    pub(crate) kind: Kind,
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// Materials of one's own over the built-in ones, every shelf and every form of a figure.
const OVERLAY: &str = r#"
basis = "estimate"

[medium.my-gel-pen]
extends = "gel-pen"
name = "the sparkly gel pens"
aliases = ["sparkles"]
dulling = [0.3, 0.6, 0.9]
[medium.my-gel-pen.basis]
dulling = "measured"

[paper.my-card]
extends = "cardstock"
grammage_g_m2 = 220

[substance.my-carrier]
extends = "isopropanol"
cas = "67-63-0"
name = "the carrier of my can"
aliases = ["my carrier"]

[sealer.my-can]
extends = "acrylic-gloss"
[sealer.my-can.label]
distance = "6 in to 8 in"
recoat = "5 min to 10 min"
max_humidity = "65 %"
[sealer.my-can.composition]
acetone = "30 % to 45 %"
propane = "10 % to 20 %"
"106-97-8" = "5 % to 15 %"

[room.attic]
extends = "window-open"
volume = "31 m3"
"#;

/// A forecast as other services write it: other order, semicolons, units in the header, an offset, a gap.
const OTHER_FORECAST: &str = "wind (km/h);Temperature (F);rh;Precipitation (in);time\n\
    12;64.4;55;0;2026-11-25T18:00+01:00\n9;66.2;52;0;2026-11-25T19:00+01:00\n;68;50;;2026-11-25T20:00+01:00\n\
    7;62.6;61;0.02;2026-11-25T21:00+01:00\n7;60.8;66;0;2026-11-25T22:00+01:00\n";

/// An evening with everything an evening can say; the pages lie beside it.
const EVENING: &str = r#"
rack = 3
start = "2026-11-25 19:00"
stop_by = "2026-11-26 01:30"
breaks = [["20:15", "20:30"], ["22:00", "22:45"]]
can_change = "90 s"
handling = "1 min"

[[page]]
file = "beekeeper.toml"
copies = 2

[[page]]
file = "tide-pool.toml"
sealer = "shelf-gloss.toml"

[[page]]
file = "first-wash.toml"
sealer = "acrylic-satin"
copies = 3
"#;

/// Every example, an overlay, some rows of the built-in checks (all of them take long), and bench problems.
pub(crate) fn samples() -> Vec<Sample> {
    let mut all = Vec::new();
    for (folder, kind) in [("pages", Kind::Page), ("rooms", Kind::Room), ("cans", Kind::Can)] {
        all.extend(files_of(folder).iter().map(|file| read(kind, file)));
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    all.push(Sample { kind: Kind::Materials, name: "own.toml".to_owned(), bytes: OVERLAY.as_bytes().to_vec() });
    let checks = read(Kind::Checks, &root.join("profiles/checks.csv"));
    let text = String::from_utf8_lossy(&checks.bytes).into_owned();
    for first in [1, 8] {
        let rows: Vec<&str> = text.lines().take(1).chain(text.lines().skip(first).step_by(15)).collect();
        all.push(Sample { bytes: rows.join("\n").into_bytes(), name: checks.name.clone(), ..checks });
    }
    all.push(read(Kind::Forecast, &root.join("profiles/examples/forecasts/late-autumn.csv")));
    all.push(Sample { kind: Kind::Forecast, name: "other.csv".to_owned(), bytes: OTHER_FORECAST.as_bytes().to_vec() });
    let saturday = read(Kind::Evening, &root.join("profiles/examples/batches/saturday.toml"));
    let beside = String::from_utf8_lossy(&saturday.bytes).replace("../pages/", "");
    all.push(Sample { bytes: beside.into_bytes(), ..saturday });
    all.push(Sample { kind: Kind::Evening, name: "evening.toml".to_owned(), bytes: EVENING.as_bytes().to_vec() });
    for name in ["A_base_03", "B_maxlag_03", "C_rack_03", "D_setup_03", "E_air_03", "F_full_03"] {
        all.push(read(Kind::Bench, &root.join(format!("tests/reference/batch/{name}.json"))));
    }
    all
}

fn read(kind: Kind, file: &Path) -> Sample {
    let name = file.file_name().expect("a file has a name").to_string_lossy().into_owned();
    Sample { kind, name, bytes: std::fs::read(file).expect("a file of this repository") }
}
