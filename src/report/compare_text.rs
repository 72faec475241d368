//! Several sealers on the same page, side by side.

use super::look::{Look, head_style};
use super::plan_text::{cautions, coats_in_short, first_distance};
use super::table::{Cell, Table};
use super::words::{clock, film_in_words, fullness, per_cent, sentence};
use super::wrap::{display_width, wrap};
use super::writer::Writer;
use crate::caution;
use crate::finding::{Finding, Level};
use crate::plan::{CoatKind, Plan};
use crate::quantity::{NOT_WITHIN_A_DAY, minutes_in_words};

/// Narrowest column a sealer gets before each gets a list of its own.
const NARROWEST_COLUMN: usize = 15;

/// Plans of one page with several sealers, side by side, in the order given.
///
/// Quiet, it is one line for each sealer and the one-line caution. Holds and cares of every sealer are shown; the
/// notes, the air in full and the times are in each sealer's own plan.
pub fn compare_text(plans: &[Plan], look: &Look) -> String {
    let mut writer = Writer::new(look);
    for plan in plans {
        let text = format!("{}: {}", plan.sealer.name, plan.answer);
        if look.quiet {
            writer.line(&format!("{}  {}", plan.verdict.word().to_uppercase(), look.clean(&text)));
        } else {
            writer.verdict(plan.verdict, &text);
        }
    }
    if look.quiet {
        writer.line(&look.clean(caution::IN_ONE_LINE));
        return writer.finish();
    }
    let Some(first) = plans.first() else { return writer.finish() };
    writer.blank();
    writer.text(0, &first.page.title);
    writer.head("Side by side");
    let rows = rows(plans, look);
    match table(plans, &rows, look) {
        Some(table) => draw(&mut writer, &table, look),
        None => list(&mut writer, plans, &rows),
    }
    findings(&mut writer, plans);
    cautions(&mut writer, &first.cautions);
    writer.finish()
}

/// A label, and its text for each plan.
type Row = (&'static str, Vec<String>);

fn rows(plans: &[Plan], look: &Look) -> Vec<Row> {
    let row = |label: &'static str, say: &dyn Fn(&Plan) -> Option<String>| -> Row {
        (label, plans.iter().map(|plan| say(plan).unwrap_or_else(|| "–".to_owned())).collect())
    };
    let minutes =
        |value: Option<u32>| value.map_or_else(|| NOT_WITHIN_A_DAY.to_owned(), |m| minutes_in_words(i64::from(m)));
    vec![
        row("Answer", &|plan| Some(plan.verdict.word().to_uppercase())),
        row("Coats", &|plan| Some(coats_in_short(&plan.coats))),
        row("Mist", &|plan| first_distance(&plan.coats, CoatKind::Mist, look)),
        row("Builds", &|plan| first_distance(&plan.coats, CoatKind::Build, look)),
        row("First wet film", &|plan| plan.coats.first().map(|coat| film_in_words(look, coat.wet_film_um))),
        row("Dry film in all", &|plan| plan.dry_film_total_um.map(|film| film_in_words(look, film))),
        row("Out of the can", &|plan| (!plan.coats.is_empty()).then(|| look.units.mass(plan.sealer_total_g))),
        row("First coat", &|plan| plan.coats.first()?.starts_at.as_ref().map(|at| clock(look, at))),
        row("Handle from", &|plan| plan.handle_at.as_ref().map(|at| clock(look, at))),
        row("Exposure limit at your face", &|plan| plan.air.as_ref().map(|air| fullness(air.index_15min))),
        row("Explosive limit at your face", &|plan| plan.air.as_ref().map(|air| per_cent(air.lel_near_pct))),
        row("Clear without a mask after", &|plan| plan.air.as_ref().map(|air| minutes(air.clear_unmasked_min))),
        row("Clear for others after", &|plan| plan.air.as_ref().map(|air| minutes(air.clear_others_min))),
    ]
}

fn table(plans: &[Plan], rows: &[Row], look: &Look) -> Option<Table> {
    let label_width = if look.columns() < 100 { 16 } else { 28 };
    let room = look.columns().saturating_sub(2 + label_width);
    let column = (room / plans.len().max(1)).saturating_sub(2);
    if column < NARROWEST_COLUMN {
        return None;
    }
    let cell = |text: &str, width: usize| -> Cell { wrap(&look.clean(text), width) };
    let mut head = vec![cell("", label_width)];
    head.extend(plans.iter().map(|plan| cell(&plan.sealer.name, column)));
    let rows = rows.iter().map(|(label, texts)| {
        let mut row = vec![cell(label, label_width)];
        row.extend(texts.iter().map(|text| cell(text, column)));
        row
    });
    Some(Table { head, rows: rows.collect() })
}

fn draw(writer: &mut Writer, table: &Table, look: &Look) {
    let (head, rows) = table.lines();
    for line in head {
        writer.line(&format!("  {}", look.paint(head_style(), &line)));
    }
    writer.line(&format!("  {}", look.clean(&"─".repeat(table.width()))));
    for line in rows.into_iter().flatten() {
        writer.line(&format!("  {line}"));
    }
}

fn list(writer: &mut Writer, plans: &[Plan], rows: &[Row]) {
    for (at, plan) in plans.iter().enumerate() {
        if at > 0 {
            writer.blank();
        }
        writer.text(2, &plan.sealer.name);
        let width = rows.iter().map(|(label, _)| display_width(label)).max().unwrap_or(0);
        for (label, texts) in rows {
            writer.entry(width, label, &texts[at]);
        }
    }
}

/// Holds and cares: those of all sealers once, then each sealer's own.
fn findings(writer: &mut Writer, plans: &[Plan]) {
    let heavy = |plan: &'_ Plan| -> Vec<Finding> {
        plan.findings.iter().filter(|finding| finding.level >= Level::Care).cloned().collect()
    };
    let each: Vec<Vec<Finding>> = plans.iter().map(heavy).collect();
    let everywhere = |finding: &Finding| {
        plans.len() > 1
            && each.iter().all(|list| list.iter().any(|f| f.level == finding.level && f.text == finding.text))
    };
    let say = |finding: &Finding| format!("{}: {}", finding.level.word().to_uppercase(), sentence(&finding.text));
    let common: Vec<&Finding> = each.iter().take(1).flatten().filter(|finding| everywhere(finding)).collect();
    if !common.is_empty() {
        writer.head("Whichever sealer");
        for finding in common {
            writer.bullet(&say(finding));
        }
    }
    for (plan, list) in plans.iter().zip(&each) {
        let own: Vec<&Finding> = list.iter().filter(|finding| !everywhere(finding)).collect();
        if own.is_empty() {
            continue;
        }
        writer.head(&format!("With {}", plan.sealer.name));
        for finding in own {
            writer.bullet(&say(finding));
        }
    }
}
