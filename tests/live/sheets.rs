//! Every sheet looked over in a real browser: on a desk, on a phone, in the dark, without script, on paper.

use std::path::{Path, PathBuf};

use coatbell::plan::{Coat, CoatKind, Direction, Plan, Surface};
use coatbell::quantity::Units;
use coatbell::report::{Drawing, EveningHead, Look, Sheet, Step, plan_html, plan_svg, sheets_html};
use serde_json::{Value, json};

use super::driver::Browser;
use crate::cli::examples::{examples, files_of};
use crate::cli::harness::Bench;
use crate::cli::sample_plans;
use crate::support::skip;

const AUDIT: &str = include_str!("audit.js");
/// Whether the three times stand somewhere: in words, or beside the curve of the air. A sheet without a review has none.
const TIMES_TOLD: &str = "(() => { const told = [...document.querySelectorAll('.breathing dl, section.air')];
    return told.length === 0 || told.some((one) => getComputedStyle(one).display !== 'none'); })()";
/// A page set for a printer, in CSS pixels: A4 less its margins.
const PAPER_WIDE: u32 = 741;

/// A desk, a phone.
const WIDTHS: [u32; 2] = [1280, 390];

/// A sheet in a file of its own.
struct OnDisk {
    name: String,
    file: PathBuf,
}

/// The sheets of every example page by the binary, and of plans that strain the layout.
fn all_sheets(bench: &Bench) -> Vec<OnDisk> {
    let mut sheets = Vec::new();
    let studio = examples().join("cans/studio-spirit.toml");
    let plain = |room: &str| examples().join("rooms").join(room);
    for page in files_of("pages") {
        let stem = page.file_stem().expect("a name").to_string_lossy().into_owned();
        for (variant, room, sealer, units) in [
            ("spare-room", plain("spare-room.toml"), None, "metric"),
            ("cellar", plain("cellar.toml"), Some(&studio), "us"),
            ("garden", plain("garden-table.toml"), Some(&studio), "metric"),
        ] {
            let name = format!("{stem}-{variant}");
            let file = bench.path(&format!("{name}.html"));
            let mut command = bench.command();
            command.arg("print").arg(&page).arg("--room").arg(room).arg("--units").arg(units).arg("-o").arg(&file);
            if let Some(sealer) = sealer {
                command.arg("--sealer").arg(sealer);
            }
            let output = command.output().expect("the binary runs");
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(matches!(output.status.code(), Some(0 | 4)), "{name}: {said}");
            sheets.push(OnDisk { name, file });
        }
    }
    for (name, plan, units) in strained() {
        let look = Look { units, ..sample_plans::look() };
        let file = bench.path(&format!("{name}.html"));
        std::fs::write(&file, plan_html(&plan, &look)).expect("a file in a temporary folder");
        sheets.push(OnDisk { name, file });
    }
    sheets
}

/// Plans nobody would wish for: one coat and six, standing sheets, windows, long and hostile titles, small and wide pages.
fn strained() -> Vec<(String, Plan, Units)> {
    let mut plans: Vec<(String, Plan, Units)> = sample_plans::all()
        .into_iter()
        .flat_map(|(name, plan)| {
            [(format!("{name}-metric"), plan.clone(), Units::Metric), (format!("{name}-us"), plan, Units::Us)]
        })
        .collect();
    let go = sample_plans::go();
    let mut markup = go.clone();
    markup.page.title = "</script><script>alert(1)</script><img src=x onerror=alert(1)>\"'<svg onload=alert(1)>".into();
    markup.sealer.name.clone_from(&markup.page.title);
    markup.preflight[0].id.clone_from(&markup.page.title);
    plans.push(("markup-for-a-title".into(), markup, Units::Metric));
    let mut one = go.clone();
    one.coats.truncate(1);
    plans.push(("one-coat".into(), one, Units::Metric));
    let mut six = sample_plans::care();
    let first = six.coats[0].clone();
    let corners = ["top-left", "bottom-right", "top-right", "bottom-left"];
    six.coats = (0..6)
        .map(|at| Coat {
            number: at + 1,
            kind: if at < 4 { CoatKind::Mist } else { CoatKind::Build },
            direction: if at % 2 == 0 { Direction::Long } else { Direction::Short },
            start_corner: corners[at % 4].into(),
            surface: Surface::Upright,
            starts_at: Some(format!("2026-11-28T18:{:02}:00+01:00", at * 10)),
            recoat_by: Some(format!("2026-11-28T19:{:02}:00+01:00", at * 9)),
            ..first.clone()
        })
        .collect();
    plans.push(("six-coats-standing".into(), six.clone(), Units::Us));
    let mut untimed = six;
    untimed.coats.iter_mut().for_each(|coat| coat.starts_at = None);
    untimed.handle_at = None;
    untimed.milestones.iter_mut().for_each(|milestone| milestone.at = None);
    plans.push(("six-coats-without-times".into(), untimed, Units::Metric));
    for (name, width_cm, height_cm) in [("card", 6.3, 8.8), ("wide", 42.0, 14.8), ("poster", 59.4, 84.1)] {
        let mut plan = go.clone();
        (plan.page.width_cm, plan.page.height_cm) = (width_cm, height_cm);
        for coat in &mut plan.coats {
            let across =
                if coat.direction == Direction::Long { width_cm.min(height_cm) } else { width_cm.max(height_cm) };
            coat.passes = (across / coat.step_over_cm).ceil() as usize + 2;
        }
        plans.push((name.into(), plan, Units::Metric));
    }
    plans
}

/// The drawings of the strained plans, each file as it stands, in a page that only holds it.
#[test]
fn every_drawing_alone_is_whole() {
    let Some(browser) = Browser::start() else { return };
    let bench = Bench::new();
    let (mut wrong, mut drawn) = (Vec::new(), 0);
    for (name, plan, units) in strained() {
        let look = Look { units, ..sample_plans::look() };
        for drawings in [&Drawing::ALL[..], &[Drawing::Passes]] {
            let Ok(svg) = plan_svg(&plan, &look, drawings) else { continue };
            let file = bench.path(&format!("{name}-{}.html", drawings.len()));
            let page = format!(
                "<!DOCTYPE html><meta charset=\"utf-8\"><body style=\"margin:0;color-scheme:light dark\">{svg}"
            );
            std::fs::write(&file, page).expect("a file in a temporary folder");
            browser.open(&file);
            for dark in [false, true] {
                media(&browser, "screen", dark);
                let state = format!("{name}, {} drawings, dark {dark}", drawings.len());
                wrong.extend(audit(&browser).into_iter().map(|line| format!("{state}: {line}")));
                drawn += 1;
            }
        }
    }
    assert!(drawn > 60, "{drawn} drawings were looked at");
    assert!(wrong.is_empty(), "{} things are wrong:\n{}", wrong.len(), wrong.join("\n"));
}

fn media(browser: &Browser, kind: &str, dark: bool) {
    let scheme = if dark { "dark" } else { "light" };
    let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
    browser.debug("Emulation.setEmulatedMedia", &json!({ "media": kind, "features": features }));
}

fn wide(browser: &Browser, width: u32) {
    let size = json!({ "width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600 });
    browser.debug("Emulation.setDeviceMetricsOverride", &size);
}

fn audit(browser: &Browser) -> Vec<String> {
    let wrong = browser.value(AUDIT);
    let wrong = wrong.as_array().expect("a list");
    wrong.iter().map(|line| line.as_str().unwrap_or_default().to_owned()).collect()
}

/// What the console said, and what was asked of the network besides the file itself.
fn logged(browser: &Browser, file: &Path) -> Vec<String> {
    let own = format!("file://{}", file.display());
    let mut opened = false;
    let console = browser.log("browser").into_iter().map(|entry| format!("console: {}", entry["message"]));
    let asked = browser.log("performance").into_iter().filter_map(|entry| {
        let message: Value = serde_json::from_str(entry["message"].as_str()?).ok()?;
        let message = &message["message"];
        if message["method"] != "Network.requestWillBeSent" {
            return None;
        }
        let url = message["params"]["request"]["url"].as_str()?;
        opened |= url == own;
        (url != own && !url.starts_with("data:")).then(|| format!("asked for {url}"))
    });
    let all = console.chain(asked).collect();
    assert!(opened, "the log does not even have the file: {own}");
    all
}

#[test]
fn every_sheet_is_whole_on_every_screen() {
    let Some(browser) = Browser::start() else { return };
    let bench = Bench::new();
    let mut wrong = Vec::new();
    let sheets = all_sheets(&bench);
    assert!(sheets.len() >= 40, "{} sheets", sheets.len());
    for sheet in &sheets {
        for scripts in [true, false] {
            browser.debug("Emulation.setScriptExecutionDisabled", &json!({ "value": !scripts }));
            media(&browser, "screen", false);
            browser.open(&sheet.file);
            for width in WIDTHS {
                for dark in [false, true] {
                    wide(&browser, width);
                    media(&browser, "screen", dark);
                    let state = format!("{} at {width}, dark {dark}, scripts {scripts}", sheet.name);
                    wrong.extend(audit(&browser).into_iter().map(|line| format!("{state}: {line}")));
                }
            }
            wide(&browser, PAPER_WIDE);
            media(&browser, "print", true);
            let state = format!("{} on paper, scripts {scripts}", sheet.name);
            wrong.extend(audit(&browser).into_iter().map(|line| format!("{state}: {line}")));
            if browser.value(TIMES_TOLD) != json!(true) {
                wrong.push(format!("{state}: who may come back in when is not told"));
            }
            wrong.extend(logged(&browser, &sheet.file).into_iter().map(|line| format!("{}: {line}", sheet.name)));
        }
    }
    assert!(wrong.is_empty(), "{} things are wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// Pages of a printed file: each has one page object.
fn pages(browser: &Browser, wide_in: f64, high_in: f64) -> usize {
    let paper = json!({ "paperWidth": wide_in, "paperHeight": high_in, "printBackground": true });
    let file = base64(&browser.printed(&paper));
    let text = String::from_utf8_lossy(&file);
    text.split("/Type")
        .skip(1)
        .filter(|rest| {
            let rest = rest.trim_start();
            rest.starts_with("/Page") && !rest.starts_with("/Pages")
        })
        .count()
}

fn base64(coded: &str) -> Vec<u8> {
    let value = |letter: u8| match letter {
        b'A'..=b'Z' => u32::from(letter - b'A'),
        b'a'..=b'z' => u32::from(letter - b'a') + 26,
        b'0'..=b'9' => u32::from(letter - b'0') + 52,
        b'+' => 62,
        _ => 63,
    };
    let mut plain = Vec::new();
    for group in coded.trim_end_matches('=').as_bytes().chunks(4) {
        let bits = group.iter().enumerate().fold(0, |bits, (at, letter)| bits | value(*letter) << (18 - 6 * at));
        plain.extend(&bits.to_be_bytes()[1..group.len()]);
    }
    plain
}

#[test]
fn every_plan_prints_on_one_page() {
    let Some(browser) = Browser::start() else { return };
    let bench = Bench::new();
    let mut wrong = Vec::new();
    for sheet in &all_sheets(&bench) {
        browser.open(&sheet.file);
        for (paper, wide_in, high_in) in [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)] {
            let count = pages(&browser, wide_in, high_in);
            if count != 1 {
                let density = browser.value("document.querySelector('[data-sheet]').className");
                wrong.push(format!("{} takes {count} pages of {paper} ({density})", sheet.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_evening_prints_a_page_for_its_steps_and_each_plan() {
    let Some(browser) = Browser::start() else { return };
    let bench = Bench::new();
    let plans = [sample_plans::go(), sample_plans::care(), sample_plans::dusting()];
    let sheets = plans.each_ref().map(|plan| Sheet { plan, label: Some("page 2 of 3") });
    let steps: Vec<Step> = (0..24)
        .map(|step| Step {
            at: format!("18:{:02}", step * 2),
            text: "Coat 1 of a page with a title of ordinary length".into(),
        })
        .collect();
    let file = bench.path("evening.html");
    let notes = ["Others may come in from 23:40".to_owned(), "The rack holds 6 of 8 sheets at most".to_owned()];
    let head = EveningHead {
        title: "Saturday evening",
        verdict: plans[1].verdict,
        answer: "Three pages fit before 21:00",
        findings: &plans[1].findings,
        cautions: &plans[1].cautions,
        notes: &notes,
        steps: &steps,
    };
    std::fs::write(&file, sheets_html(Some(&head), &sheets, &sample_plans::look())).expect("a file");
    browser.open(&file);
    for width in WIDTHS {
        wide(&browser, width);
        let wrong = audit(&browser);
        assert!(wrong.is_empty(), "at {width}: {}", wrong.join("\n"));
    }
    assert_eq!(pages(&browser, 8.27, 11.69), 4);
    assert_eq!(pages(&browser, 8.5, 11.0), 4);
    let wrong = logged(&browser, &file);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Where `.ci/run` puts axe-core, or `COATBELL_AXE` says it is.
fn axe() -> Option<String> {
    let place = std::env::var_os("COATBELL_AXE")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe/axe.min.js"), PathBuf::from);
    match std::fs::read_to_string(&place) {
        Ok(script) => Some(script),
        Err(error) => {
            skip(&format!("axe-core is not at {} ({error}; see .ci/run)", place.display()));
            None
        }
    }
}

#[test]
fn axe_finds_nothing_serious() {
    let Some(script) = axe() else { return };
    let Some(browser) = Browser::start() else { return };
    let bench = Bench::new();
    let mut wrong = Vec::new();
    // Inches and the open air change words and figures, not the structure axe looks at.
    let same = |sheet: &&OnDisk| !sheet.name.ends_with("-us") && !sheet.name.ends_with("-garden");
    for sheet in all_sheets(&bench).iter().filter(same) {
        for (width, dark) in [(390, false), (1280, true)] {
            wide(&browser, width);
            media(&browser, "screen", dark);
            browser.open(&sheet.file);
            browser.value(&format!("{script}; 0"));
            let found = browser.value(
                "axe.run({ resultTypes: ['violations'] }).then((found) => found.violations.map((one) =>
                    ({ id: one.id, impact: one.impact, where: one.nodes.slice(0, 3).map((node) => node.html.slice(0, 120)) })))",
            );
            for one in found.as_array().expect("a list") {
                if matches!(one["impact"].as_str(), Some("serious" | "critical")) {
                    wrong.push(format!("{} at {width}: {one}", sheet.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
