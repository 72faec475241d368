//! The bench sheet and its drawings: what they show, what they never contain, how the commands end.

use coatbell::plan::Plan;
use coatbell::quantity::Units;
use coatbell::report::{Drawing, EveningHead, Look, Sheet, Step, plan_html, plan_svg, sheets_html};

use super::harness::{Bench, PAGE};
use super::sample_plans::{all, care, go, hold_bare, hold_with_coats, hostile, look};

/// The document without its style, script and calendar, which have tests of their own.
fn content(html: &str) -> String {
    let mut rest = html;
    let mut kept = String::new();
    for (open, close) in [("<style>", "</style>"), ("base64,", "\""), ("<script>", "</script>")] {
        if let Some((before, after)) = rest.split_once(open)
            && let Some((_, after)) = after.split_once(close)
        {
            kept.push_str(before);
            kept.push_str(open);
            kept.push('…');
            kept.push_str(close);
            rest = after;
        }
    }
    kept.push_str(rest);
    let (before, after) = kept.split_once("'sha256-").expect("a policy");
    let (_, after) = after.split_once('\'').expect("the end of a hash");
    let kept = format!("{before}'sha256-…'{after}");
    kept.replace("><", ">\n<")
}

/// The tags of a document in order, without what is written between them or in their attributes.
fn tags(document: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut rest = document;
    while let Some((_, after)) = rest.split_once('<') {
        let name: String = after.chars().take_while(|letter| !letter.is_whitespace() && *letter != '>').collect();
        // A tag ends at the first `>` outside of quotes.
        let mut quoted = false;
        let end = after.find(|letter| {
            quoted ^= letter == '"';
            letter == '>' && !quoted
        });
        rest = &after[end.expect("every tag ends")..];
        if matches!(name.as_str(), "style" | "script") {
            let close = format!("</{name}>");
            rest = &rest[rest.find(&close).expect("a closing tag")..];
        }
        names.push(name);
    }
    names
}

/// Whether every element is closed in its order.
fn is_well_formed(document: &str) -> bool {
    const VOID: [&str; 4] = ["meta", "input", "!DOCTYPE", "br"];
    let mut open: Vec<String> = Vec::new();
    for name in tags(document) {
        if let Some(name) = name.strip_prefix('/') {
            if open.pop().as_deref() != Some(name) {
                return false;
            }
        } else if !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    open.is_empty()
}

fn shown(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[test]
fn the_sheet_of_a_plain_plan() {
    insta::assert_snapshot!(content(&plan_html(&go(), &look())));
}

#[test]
fn the_sheet_of_a_plan_on_hold_in_inches() {
    let look = Look { units: Units::Us, ..look() };
    insta::assert_snapshot!(content(&plan_html(&hold_with_coats(), &look)));
}

#[test]
fn the_drawings_of_a_plain_plan() {
    for drawing in Drawing::ALL {
        let svg = plan_svg(&go(), &look(), &[drawing]).expect("coats to draw");
        let (head, body) = svg.split_once("</style>").expect("a style");
        insta::assert_snapshot!(
            format!("drawing_{drawing:?}").to_lowercase(),
            format!("{}…{}", head.split_once("<style>").expect("a style").0, body.replace("><", ">\n<"))
        );
    }
}

#[test]
fn every_sample_is_whole_small_and_alone() {
    let mut drawn = 0;
    for units in [Units::Metric, Units::Us] {
        let look = Look { units, ..look() };
        for (name, plan) in all() {
            let html = plan_html(&plan, &look);
            assert!(html.len() <= 150_000, "{name}: {} bytes", html.len());
            assert!(is_well_formed(&html), "{name}: an element is not closed");
            for outside in
                ["http:", "https:", "src=", "url(", "@import", "<link", "<iframe", "<base", "<form", " style="]
            {
                assert!(!html.contains(outside), "{name}: holds `{outside}`");
            }
            if let Ok(svg) = plan_svg(&plan, &look, &Drawing::ALL) {
                assert!(is_well_formed(&svg), "{name}: an element of the drawing is not closed");
                assert_eq!(svg.matches("http").count(), 1, "{name}: only the name of the format is an address");
                drawn += 1;
            }
        }
    }
    // All but the one without coats, in both systems.
    assert_eq!(drawn, 2 * (all().len() - 1));
}

#[test]
fn nothing_of_the_plan_is_left_out() {
    for (name, plan) in [("go", go()), ("care", care()), ("hold", hold_with_coats())] {
        let html = plan_html(&plan, &look());
        let said = plan.findings.iter().map(|finding| &finding.text);
        let said = said.chain(plan.findings.iter().filter_map(|finding| finding.remedy.as_ref()));
        let said = said.chain(&plan.cautions).chain(plan.preflight.iter().map(|check| &check.text));
        let said = said.chain(plan.would_change.iter().map(|change| &change.text)).chain([&plan.answer]);
        for text in said.chain(plan.runners_up.iter().map(|other| &other.reason)) {
            assert!(html.contains(&shown(text)), "{name}: no `{text}`");
        }
        assert_eq!(html.matches("type=\"checkbox\"").count(), plan.preflight.len(), "{name}: a box for each check");
        let at = |text: &str| html.find(text).unwrap_or_else(|| panic!("{name}: no `{text}`"));
        assert!(at("class=\"verdict") < at("For your safety"), "{name}");
        assert!(at("For your safety") < at("class=\"coats\""), "{name}");
    }
}

#[test]
fn the_coat_table_has_the_seconds_of_a_pass_and_the_whole_last_wait() {
    let html = plan_html(&go(), &look());
    for cell in [
        "<td class=\"key\" data-label=\"One pass takes\">0.9 s</td>",
        "19:20",
        "15 min <span class=\"twin\">to coat 2</span>",
    ] {
        assert!(html.contains(cell), "no `{cell}`");
    }
}

#[test]
fn a_hostile_title_is_text_everywhere() {
    const BAD: &str =
        "</script><script>alert(1)</script><img src=x onerror=alert(1)>\"'><svg onload=alert(1)>&lt;\u{202E}x\u{200F}";
    let with = |bad: &str| -> Plan {
        let mut plan = hostile();
        plan.coats.iter_mut().for_each(|coat| coat.starts_at = Some("2026-11-28T18:05:00+01:00".into()));
        for text in
            [&mut plan.page.title, &mut plan.page.paper, &mut plan.sealer.name, &mut plan.sealer.id, &mut plan.answer]
        {
            *text = bad.into();
        }
        plan.page.finish = Some(bad.into());
        plan.coats[0].start_corner = bad.into();
        plan.coats[0].label_applied = vec![bad.into()];
        plan.coats[0].limited_by = bad.into();
        plan.findings[0].text = bad.into();
        plan.findings[0].remedy = Some(bad.into());
        plan.findings[0].source = Some(bad.into());
        plan.cautions[0] = bad.into();
        plan.preflight[0].text = bad.into();
        plan.preflight[0].id = bad.into();
        plan.milestones[0].text = bad.into();
        plan.runners_up[0].sealer = bad.into();
        plan.runners_up[0].reason = bad.into();
        plan
    };
    let (bad, tame) = (with(BAD), with("Tame"));
    let html = plan_html(&bad, &look());
    assert_eq!(tags(&html), tags(&plan_html(&tame, &look())), "a text has become markup");
    assert!(html.contains("&lt;img src=x onerror=alert(1)&gt;"));
    let hidden = |letter: char| {
        letter != '\n' && (letter.is_control() || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'))
    };
    assert!(!html.contains(hidden), "a hidden or direction-changing character is left");
    assert!(html.contains("\\u{202e}"), "it is shown instead");
    let svg = plan_svg(&bad, &look(), &Drawing::ALL).expect("coats to draw");
    // A longer text takes more lines, each an element of its own; nothing else may come of it.
    let kinds = |document: &str| {
        let (mut words, mut rest) = (0, Vec::new());
        for tag in tags(document) {
            if tag == "text" || tag == "/text" { words += 1 } else { rest.push(tag) }
        }
        (words > 0, rest)
    };
    assert_eq!(kinds(&svg), kinds(&plan_svg(&tame, &look(), &Drawing::ALL).expect("coats to draw")));
    assert!(!svg.contains(hidden));
    // The data of the script is JSON that no text can end or break.
    let (_, data) = html.split_once("data-plan=\"\">").expect("data for the script");
    let data: serde_json::Value = serde_json::from_str(data.split_once("</script>").expect("its end").0).expect("JSON");
    assert!(data["title"].as_str().is_some_and(|title| title.starts_with("</script><script>")));
}

#[test]
fn nobody_sprays_by_a_plan_on_hold() {
    for plan in [hold_bare(), hold_with_coats()] {
        let html = plan_html(&plan, &look());
        let (_, body) = html.split_once("<body>").expect("a body");
        let (body, _) = body.rsplit_once("<script>").expect("the script");
        assert!(!body.contains("data-sprayed") && !body.contains("data-live"), "a plan on hold is not run");
        assert!(body.contains("On hold: nothing to spray yet."));
    }
    assert!(plan_html(&hold_with_coats(), &look()).contains("marked ON HOLD"));
    assert!(plan_svg(&hold_bare(), &look(), &Drawing::ALL).is_err());
}

#[test]
fn an_evening_is_a_list_of_steps_and_a_sheet_for_each_page() {
    let (first, second) = (go(), care());
    let sheets =
        [Sheet { plan: &first, label: Some("page 1 of 2") }, Sheet { plan: &second, label: Some("page 2 of 2") }];
    let steps = [("18:05", "Coat 1 of <b>Lighthouse</b>"), ("18:10", "Coat 1 of the second page")]
        .map(|(at, text)| Step { at: at.into(), text: text.into() });
    let notes = ["Others may come in from 23:40 <b>".to_owned()];
    let head = EveningHead {
        title: "Saturday",
        verdict: second.verdict,
        answer: "Both pages fit",
        findings: &second.findings,
        cautions: &second.cautions,
        notes: &notes,
        steps: &steps,
    };
    let html = sheets_html(Some(&head), &sheets, &look());
    assert!(html.contains("Both pages fit.") && html.contains("Others may come in from 23:40 &lt;b&gt;."));
    assert_eq!(html.matches("For your safety").count(), 3, "the cautions stand on every page");
    // The air of a page alone would promise too much.
    assert!(!html.contains("class=\"face\"") && !html.contains("You, no mask") && !html.contains("room-free\""));
    assert_eq!(html.matches("stands on the first page of the evening").count(), 2);
    assert!(is_well_formed(&html));
    assert_eq!(html.matches("data-live=").count(), 2);
    assert!(html.contains("<b>18:05</b> Coat 1 of &lt;b&gt;Lighthouse&lt;/b&gt;"));
    let ids: Vec<&str> = html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let mut unique = ids.clone();
    unique.sort_unstable();
    unique.dedup();
    assert_eq!(unique.len(), ids.len(), "{ids:?}");
    // Each sheet keeps its own state, even two copies of one page at one time.
    let twice = [Sheet { plan: &first, label: Some("copy 1") }, Sheet { plan: &first, label: Some("copy 2") }];
    let html = sheets_html(None, &twice, &look());
    let keys: Vec<&str> = html.split("{\"id\":\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(keys.len() == 2 && keys[0] != keys[1], "{keys:?}");
}

#[test]
fn only_the_script_of_the_sheet_may_run() {
    let html = plan_html(&go(), &look());
    let policy = html.split("Content-Security-Policy\" content=\"").nth(1).and_then(|rest| rest.split('"').next());
    let policy = policy.expect("a policy");
    assert!(policy.starts_with("default-src 'none'; script-src 'sha256-"), "{policy}");
    assert!(!policy.contains("unsafe-eval") && !policy.contains("connect-src"), "{policy}");
}

#[test]
fn a_film_is_drawn_as_long_as_it_is_thick() {
    let svg = plan_svg(&go(), &look(), &[Drawing::Film]).expect("coats to draw");
    let widths: Vec<f64> = svg
        .split("<rect class=\"film-wet\"")
        .skip(1)
        .filter_map(|rest| rest.split(" width=\"").nth(1)?.split('"').next()?.parse().ok())
        .collect();
    let plan = go();
    let ratio = plan.coats[1].wet_film_um.p50 / plan.coats[0].wet_film_um.p50;
    assert!((widths[1] / widths[0] - ratio).abs() < 0.02, "{widths:?}");
}

#[test]
fn a_sheet_is_drawn_to_scale_with_all_its_passes() {
    let plan = go();
    let svg = plan_svg(&plan, &look(), &[Drawing::Passes]).expect("coats to draw");
    let sheet = svg.split("<rect class=\"sheet\"").nth(1).expect("a sheet");
    let figure = |name: &str| -> f64 {
        let value = sheet.split(&format!(" {name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
        value.expect("a figure").parse().expect("a number")
    };
    let ratio = figure("height") / figure("width");
    assert!((ratio - plan.page.height_cm / plan.page.width_cm).abs() < 0.01, "{ratio}");
    let passes: usize = plan.coats.iter().map(|coat| coat.passes).sum();
    assert_eq!(svg.matches("class=\"head-of-pass\"").count(), passes);
    assert_eq!(svg.matches(">start</text>").count(), plan.coats.len());
}

/// The figures of an attribute of every element that begins so.
fn figures(svg: &str, element: &str, attribute: &str) -> Vec<f64> {
    let of_one = |rest: &str| -> Option<f64> {
        let (tag, _) = rest.split_once('>')?;
        tag.split(&format!(" {attribute}=\"")).nth(1)?.split('"').next()?.parse().ok()
    };
    svg.split(element).skip(1).filter_map(of_one).collect()
}

#[test]
fn the_timeline_keeps_the_minutes() {
    let svg = plan_svg(&go(), &look(), &[Drawing::Timeline]).expect("coats to draw");
    let begins = figures(&svg, "<rect class=\"drying\"", "x");
    let ends: Vec<f64> = figures(&svg, "<line class=\"due\"", "x1");
    // Coats at 18:05, 18:20 and 18:35, handling at 19:20: each is due where the one before ends.
    assert_eq!((begins.len(), ends.len()), (3 + 1, 3 + 1), "three coats and the legend");
    assert_eq!((begins[1], begins[2]), (ends[0], ends[1]));
    let minute = (begins[1] - begins[0]) / 15.0;
    assert!((begins[2] - begins[1] - 15.0 * minute).abs() < 0.2);
    // The last wait counts from the end of its 8.3 s.
    assert!((ends[2] - begins[2] - (45.0 + 8.3 / 60.0) * minute).abs() < 0.2);
    let wet = figures(&svg, "<rect class=\"wet\"", "width");
    let touch = go().coats[1].touch_dry_min.expect("a time").p50;
    assert!((wet[1] - touch * minute).abs() < 0.1, "{wet:?}");
    // Back with the mask 8 min after the end of the first coat, the masked time lasts until the second.
    let masked = figures(&svg, "<rect class=\"room-mask\"", "x");
    assert!((masked[0] - begins[0] - (8.0 + 5.6 / 60.0) * minute).abs() < 0.2, "{masked:?}");
}

#[test]
fn a_window_is_marked_where_it_closes() {
    let svg = plan_svg(&hold_with_coats(), &look(), &[Drawing::Timeline]).expect("coats to draw");
    // From 10:30 to 11:30 on an axis that ends on the next day at 18:30, 1920 min later.
    let begin = figures(&svg, "<rect class=\"drying\"", "x")[0];
    let closes = figures(&svg, "<line class=\"closes\"", "x1")[0];
    assert!((closes - begin - 60.0 / 1920.0 * 284.0).abs() < 0.2, "{begin} {closes}");
    assert!(svg.contains("window closes</text>"));
}

#[test]
fn the_air_curve_stands_against_its_limit() {
    let svg = plan_svg(&go(), &look(), &[Drawing::Air]).expect("a curve to draw");
    let limit = figures(&svg, "<line class=\"limit\"", "y1")[1];
    let highest = |class: &str| -> f64 {
        let points = svg.split(&format!("<polyline class=\"{class}\" points=\"")).nth(1).expect("a curve");
        let heights = points.split('"').next().expect("points").split([' ', ',']).skip(1).step_by(2);
        heights.map(|y| y.parse::<f64>().expect("a number")).fold(f64::INFINITY, f64::min)
    };
    // 1.6 times the limit at the face, a tenth of it in the room.
    assert!(highest("face") < limit && highest("room") > limit);
    let tenth = figures(&svg, "<line class=\"grid\"", "y1").into_iter().find(|y| (y - highest("room")).abs() < 0.4);
    assert!(tenth.is_some(), "the room's tenth lies on the line of 10 %");
}

#[test]
fn print_writes_a_file_and_says_the_answer() {
    let bench = Bench::with("heron.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&["print", "heron.toml", "--room", "window-open", "-o", "heron.html"]));
    let html = std::fs::read_to_string(bench.path("heron.html")).expect("the sheet");
    assert!(html.starts_with("<!DOCTYPE html><html lang=\"en\">") && html.ends_with("</html>\n"));
    let json = ["print", "heron.toml", "--room", "window-open", "-o", "heron.html", "--json"];
    let bytes = format!("\"bytes\": {}", html.len());
    let said = bench.transcript(&json);
    assert!(said.contains(&bytes), "{said}");
    // The length changes with every word of the sheet.
    insta::assert_snapshot!(said.replace(&bytes, "\"bytes\": …"));
    insta::assert_snapshot!(bench.transcript(&["print", "heron.toml", "-q", "-o", "heron.html"]));
    let piped = bench.command().args(["print", "heron.toml"]).output().expect("the binary runs");
    assert!(piped.stdout.starts_with(b"<!DOCTYPE html>") && piped.stderr.is_empty());
}

#[test]
fn print_refuses_what_makes_no_sheet() {
    let bench = Bench::with("heron.toml", PAGE);
    insta::assert_snapshot!(bench.transcript(&["print", "heron.toml", "--json"]));
    insta::assert_snapshot!(bench.transcript(&[
        "print",
        "heron.toml",
        "--sealer",
        "acrylic-satin,acrylic-gloss",
        "-o",
        "x.html"
    ]));
    insta::assert_snapshot!(bench.transcript(&["print", "heron.toml", "-o", "heron.toml"]));
    insta::assert_snapshot!(bench.transcript(&["print", "heron.tml", "-o", "x.html"]));
}

#[test]
fn print_of_a_page_on_hold_ends_so() {
    let bench = Bench::with("heron.toml", PAGE.replace("finished = \"5 days ago\"\n", ""));
    let printed = |more: &[&str]| {
        let mut command = bench.command();
        command.args(["print", "heron.toml", "-o", "heron.html"]).args(more);
        command.output().expect("the binary runs").status.code()
    };
    assert_eq!(printed(&[]), Some(4));
    assert_eq!(printed(&["--exit-zero"]), Some(0));
}

#[test]
fn plan_gives_each_drawing_alone() {
    let bench = Bench::with("heron.toml", PAGE);
    for (drawing, mark) in
        [("passes", "head-of-pass"), ("timeline", "drying"), ("air", "class=\"face\""), ("film", "film-wet")]
    {
        let output = bench.command().args(["plan", "heron.toml", "--format", "svg", "--drawing", drawing]).output();
        let svg = String::from_utf8(output.expect("the binary runs").stdout).expect("UTF-8");
        let (_, drawn) = svg.split_once("</style>").expect("a style");
        assert!(svg.starts_with("<svg xmlns=") && drawn.contains(mark), "{drawing}: {drawn}");
    }
    insta::assert_snapshot!(bench.transcript(&["plan", "heron.toml", "--drawing", "air"]));
    insta::assert_snapshot!(bench.transcript(&["layers", "heron.toml", "--format", "svg"]));
}
