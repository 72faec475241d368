//! What is known of cans, as text and as JSON.

use serde::Serialize;

use super::super::cans::Can;
use super::super::common::Format;
use super::super::{Context, Exit, Failure, output, shelves};
use crate::catalog::Catalog;
use crate::caution;
use crate::record::{Known, Measurement, Reading, posteriors};
use crate::report::{Paragraph, paragraphs};

#[derive(Debug, Serialize)]
struct Document<'r> {
    schema: &'static str,
    version: &'static str,
    sealer: &'r str,
    file: String,
    answer: &'r str,
    known: Vec<Known>,
    measurements: &'r [Measurement],
    cautions: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Every<'r> {
    schema: &'static str,
    version: &'static str,
    answer: String,
    cans: Vec<Document<'r>>,
    cautions: Vec<String>,
}

fn document<'r>(
    answer: &'r str,
    can: &'r Can,
    plain: &Catalog,
    context: &Context,
    cautions: Vec<String>,
) -> Result<Document<'r>, Failure> {
    Ok(Document {
        schema: "coatbell.measure/1",
        version: env!("CARGO_PKG_VERSION"),
        sealer: &can.sealer.id,
        file: shelves::can_path(&can.sealer.id, context)?.display().to_string(),
        answer,
        known: posteriors(&can.record, &can.sealer, &plain.model),
        measurements: &can.record.measurements,
        cautions,
    })
}

/// Prints what is known of a can.
///
/// # Errors
/// If it cannot be written.
pub(in crate::cli) fn show(answer: &str, can: &Can, plain: &Catalog, context: &Context) -> Result<Exit, Failure> {
    if context.format == Format::Json {
        output::json(context, &document(answer, can, plain, context, caution::in_full())?)?;
        return Ok(Exit::Done);
    }
    let mut all = vec![Paragraph::Text(answer.to_owned())];
    all.extend(known(can, plain, true));
    if !can.record.measurements.is_empty() {
        all.push(Paragraph::Head("Where".to_owned()));
        all.push(Paragraph::Text(shelves::can_path(&can.sealer.id, context)?.display().to_string()));
        let note = "Plans with this sealer use it from now on; no warning about the air becomes milder by it";
        all.push(Paragraph::Text(note.to_owned()));
    }
    all.push(Paragraph::Text(caution::IN_ONE_LINE.to_owned()));
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}

/// Prints what is known of every can.
///
/// # Errors
/// If it cannot be written.
pub(super) fn show_all(cans: &[Can], plain: &Catalog, context: &Context) -> Result<Exit, Failure> {
    let answer = match cans.len() {
        0 => "Nothing was measured of any can yet: `coatbell measure can` begins with a kitchen scale".to_owned(),
        1 => "1 can was measured".to_owned(),
        many => format!("{many} cans were measured"),
    };
    if context.format == Format::Json {
        let each = cans.iter().map(|can| document(&can.sealer.name, can, plain, context, Vec::new()));
        let every = Every {
            schema: "coatbell.measure/1",
            version: env!("CARGO_PKG_VERSION"),
            answer,
            cans: each.collect::<Result<_, _>>()?,
            cautions: caution::in_full(),
        };
        output::json(context, &every)?;
        return Ok(Exit::Done);
    }
    let mut all = vec![Paragraph::Text(answer)];
    for can in cans {
        all.push(Paragraph::Head(format!("{} ({})", can.sealer.name, can.sealer.id)));
        all.extend(known(can, plain, false));
    }
    all.push(Paragraph::Text(caution::IN_ONE_LINE.to_owned()));
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}

/// What is known of a can and the readings it comes from.
fn known(can: &Can, plain: &Catalog, headed: bool) -> Vec<Paragraph> {
    let mut all = Vec::new();
    let head = |all: &mut Vec<Paragraph>, text: &str| {
        if headed {
            all.push(Paragraph::Head(text.to_owned()));
        }
    };
    let known = posteriors(&can.record, &can.sealer, &plain.model);
    if !known.is_empty() {
        head(&mut all, "What is known now");
        all.extend(known.iter().map(|one| Paragraph::Bullet(figure(one))));
    }
    if !can.record.measurements.is_empty() {
        head(&mut all, "Measurements");
        all.extend(can.record.measurements.iter().map(|one| {
            let day = one.at.get(..16).unwrap_or(&one.at).replace('T', " ");
            let insisted = if one.insisted { " (insisted on)" } else { "" };
            Paragraph::Bullet(format!("{day}  {}{insisted}", said(&one.reading)))
        }));
    }
    all
}

/// A figure with its range, now and before.
fn figure(one: &Known) -> String {
    let (what, unit, scale, digits) = match one.figure {
        "discharge_g_s" => ("Rate at 22 °C", " g/s", 1.0, 2),
        "cone_half_angle_deg" => ("Half angle of the cone", "°", 1.0, 1),
        "transfer_at_15cm" => ("What stays of the spray at 15 cm", " %", 100.0, 0),
        _ => ("Drying time", " % of the model's", 100.0, 0),
    };
    let shown = |value: f64| format!("{:.digits$}", scale * value);
    format!(
        "{what}: {}{unit}, could be {} to {} (before measuring: {} to {})",
        shown(one.now.p50),
        shown(one.now.p10),
        shown(one.now.p90),
        shown(one.before.p10),
        shown(one.before.p90)
    )
}

/// A reading in words.
pub(super) fn said(reading: &Reading) -> String {
    let give_or_take = |relative_sd: f64| format!("give or take {:.0} %", 100.0 * relative_sd);
    match reading {
        Reading::Can { rate_g_s, relative_sd, .. } => {
            format!("can: {rate_g_s:.2} g/s at 22 °C, {}", give_or_take(*relative_sd))
        }
        Reading::Cone { half_angle_deg, relative_sd, .. } => {
            format!("cone: half angle {half_angle_deg:.1}°, {}", give_or_take(*relative_sd))
        }
        Reading::Transfer { share_at_15cm, relative_sd, solids_sd, .. } => {
            let both = libm::sqrt(relative_sd * relative_sd + solids_sd * solids_sd);
            format!("card: {:.0} % stays at 15 cm, {} of that", 100.0 * share_at_15cm, give_or_take(both))
        }
        Reading::Drying { minutes, modelled_p50_min, of, .. } => {
            format!("thumb: touch-dry after {minutes:.1} min, by the model {modelled_p50_min:.1} min ({of})")
        }
        Reading::Scrap { medium, wet_um, held, over_mist, run, note } => {
            let how = if *held { "held" } else { "did not hold" };
            let film = if *over_mist { "a build of" } else { "a first coat of" };
            let kind = if run.is_some() { "page" } else { "scrap" };
            let note = note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
            format!("{kind}: {medium} {how} under {film} {wet_um:.1} µm{note}")
        }
    }
}
