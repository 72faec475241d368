//! Shared by the integration tests: planning a page from text at a fixed moment.

mod numbers;

pub(crate) use numbers::Numbers;

use coatbell::batch::{Control, Effort, Evening, EveningEntry, EveningRequest, EveningSheet, evening};
use coatbell::catalog::{Catalog, Sealer};
use coatbell::diagnostic::SourceText;
use coatbell::finding::{Finding, Level};
use coatbell::input::{PageInput, RoomInput, read_page, read_room, read_sealer};
use coatbell::page::Sheet;
use coatbell::plan::{Plan, Request, SEED};
use jiff::ZonedDateTime;
use std::io::Write;
use std::sync::LazyLock;

/// Says what a long test saw, for those who run it with `--nocapture`.
pub(crate) fn say(line: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{line}");
}

/// Says in one line why a test ends here. In the checked runs (`COATBELL_LIVE=1`) what a test needs has to be there, and
/// its lack is a failure.
pub(crate) fn skip(why: &str) {
    assert!(std::env::var_os("COATBELL_LIVE").is_none_or(|value| value != "1"), "{why}, and a skip is not allowed");
    say(&format!("skipped: {why}"));
}

/// Whether the programs are there; where one is missing, the test is skipped.
pub(crate) fn there(programs: &[&str]) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let missing = |program: &&&str| !std::env::split_paths(&path).any(|folder| folder.join(program).exists());
    let first = programs.iter().find(missing);
    if let Some(program) = first {
        skip(&format!("`{program}` is not installed"));
    }
    first.is_none()
}

/// A text on one line, so that a sentence can be found wherever it was broken.
pub(crate) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The most severe level that a code is told with.
pub(crate) fn level_of(findings: &[Finding], code: &str) -> Option<Level> {
    findings.iter().filter(|finding| finding.code == code).map(|finding| finding.level).max()
}

/// The built-in catalog, read once.
pub(crate) static CATALOG: LazyLock<Catalog> = LazyLock::new(Catalog::builtin);

/// The moment all tests happen at.
pub(crate) fn now() -> ZonedDateTime {
    "2026-11-25T18:00:00+00:00[UTC]".parse().expect("a valid moment")
}

/// Reads a page from text, or panics with its problems.
pub(crate) fn page(text: &str) -> (SourceText, PageInput) {
    let source = SourceText::new("page.toml", text);
    let page = read_page(&source, &now()).unwrap_or_else(|problems| panic!("{:#?}", problems.list));
    (source, page)
}

/// A room from its keys.
pub(crate) fn room(keys: &str) -> RoomInput {
    read_room(&SourceText::new("room.toml", keys)).unwrap_or_else(|problems| panic!("{:#?}", problems.list))
}

/// The room of the reference page.
pub(crate) const REFERENCE_ROOM: &str = "size = \"3.4 m x 2.8 m x 2.4 m\"\nairflow = \"window-open\"\n\
                                         temperature = \"21 C\"\nhumidity = \"48 %\"\n";

/// Plans a page from text, with a sealer by id or the best-ranked one.
pub(crate) fn plan(page_text: &str, room_text: &str, sealer: Option<&str>) -> Plan {
    plan_with(page_text, room_text, sealer.map(|id| &CATALOG.sealers[id]))
}

/// Plans a page from text, with a can of the user's own.
pub(crate) fn plan_with_can(page_text: &str, room_text: &str, can_text: &str) -> Plan {
    let input = read_sealer(&SourceText::new("can.toml", can_text)).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let can = CATALOG.own_sealer(&input).unwrap_or_else(|problems| panic!("{problems:#?}"));
    plan_with(page_text, room_text, Some(&can))
}

fn plan_with(page_text: &str, room_text: &str, sealer: Option<&Sealer>) -> Plan {
    let (source, input) = page(page_text);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).unwrap_or_else(|problems| panic!("{:#?}", problems.list));
    coatbell::plan::make(&request(&sheet, sealer, &room(room_text), &now()), &CATALOG)
}

/// What is asked of a page in a named room, begun now.
pub(crate) fn request<'r>(
    sheet: &'r Sheet<'r>,
    sealer: Option<&'r Sealer>,
    room: &'r RoomInput,
    now: &'r ZonedDateTime,
) -> Request<'r> {
    Request {
        sheet,
        sealer,
        room: Some(room),
        room_named: true,
        respirator: None,
        start: now,
        now,
        seed: SEED,
        why: false,
    }
}

/// An evening outdoors of some copies of a watercolour page.
pub(crate) fn evening_outdoors(copies: usize) -> Evening {
    evening_with(
        "airflow = \"outdoors\"\nwind = \"2 m/s\"\ntemperature = \"22 C\"\nhumidity = \"45 %\"\n",
        &CATALOG.sealers["acrylic-satin"],
        |request| request.entries[0].copies = copies,
    )
}

/// An evening of one watercolour page at a bench with a rack for four, changed before it is planned.
pub(crate) fn evening_with(keys: &str, sealer: &Sealer, change: impl FnOnce(&mut EveningRequest<'_>)) -> Evening {
    let (source, input) =
        page("size = \"A5\"\npaper = \"cardstock\"\nfinished = \"60 days ago\"\n[[layer]]\nmedium = \"watercolour\"\n");
    let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("known names");
    let room = room(keys);
    let mut request = EveningRequest {
        sheets: vec![EveningSheet { sheet, sealer: Some(sealer.clone()) }],
        entries: vec![EveningEntry { sheet: 0, file: "page.toml".into(), sealer: None, copies: 1, written_at: None }],
        rack: 4,
        start: now(),
        stop_by: None,
        breaks: Vec::new(),
        can_change_min: None,
        handling_min: None,
        room: Some(&room),
        room_named: true,
        respirator: None,
        now: now(),
    };
    change(&mut request);
    let alone = Control { threads: 1, stop: &|| false, progress: &|_, _| {} };
    evening(&request, Effort::Quick, &alone, &CATALOG)
}
