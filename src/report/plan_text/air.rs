//! The air in plain words: how full the limits are, when to leave and come back, the mask.

use crate::diagnostic::and_list;
use crate::plan::{AirReview, Plan, Respirator};
use crate::quantity::{after_minutes, number};
use crate::report::look::Look;
use crate::report::words::{fullness, per_cent, ppm, sentence, substance_name};
use crate::report::writer::Writer;

/// Earlier coats listed one by one; of more, only the first few are.
const MOST_COATS: usize = 8;
/// Column of the labels.
const LABEL: usize = 46;

/// What of a run the section needs besides the air itself.
pub(in crate::report) struct AirRun {
    /// Whether the bench is outdoors.
    pub(in crate::report) outdoors: bool,
    /// Number of each coat and when a masked person may return after it, min.
    pub(in crate::report) back: Vec<(usize, Option<u32>)>,
}

impl AirRun {
    /// That of a plan.
    pub(in crate::report) fn of(plan: &Plan) -> Self {
        Self {
            outdoors: plan.room.volume_m3.is_none() && plan.room.air_changes_per_h.is_none(),
            back: plan.coats.iter().map(|coat| (coat.number, coat.return_masked_min)).collect(),
        }
    }
}

/// Writes the section.
pub(in crate::report) fn write(writer: &mut Writer, air: &AirReview, run: &AirRun, look: &Look) {
    let outdoors = run.outdoors;
    let around = if outdoors { "air around the bench" } else { "air in the room" };
    writer.head(&format!("The air: {}", air.verdict.word().to_uppercase()));
    writer.text(2, "How full the exposure limit is, breathing without a mask:");
    entry(writer, "air at your face, over 15 minutes", &fullness(air.index_15min));
    entry(writer, "the same against the limit for short times", &fullness(air.index_short_term));
    entry(writer, "the part of it that no mask holds", &fullness(air.index_unmasked_only));
    entry(writer, &format!("{around}, at its worst"), &fullness(air.room_index_peak));
    entry(writer, &format!("{around}, over 8 hours"), &fullness(air.index_8h));
    writer.text(2, "Share of the explosive limit:");
    entry(writer, "air at your face, at its worst", &per_cent(air.lel_near_pct));
    entry(writer, &format!("{around}, at its worst"), &per_cent(air.lel_room_pct));
    return_times(writer, air, run);
    mask(writer, &air.respirator);
    flow(writer, air, look);
    if look.verbose || look.why {
        solvents(writer, air, look);
    }
}

fn entry(writer: &mut Writer, label: &str, text: &str) {
    writer.entry(LABEL, &format!("  {label}"), text);
}

fn return_times(writer: &mut Writer, air: &AirReview, run: &AirRun) {
    let leave = if run.outdoors { "Step away, upwind," } else { "Leave the room" };
    writer.text(2, &format!("{leave} as soon as a coat is on. Back at the bench, with the mask on:"));
    if let Some((_, earlier)) = run.back.split_last() {
        // A long series of coats settles to one time: the first few and the longest tell all.
        let shown = if earlier.len() > MOST_COATS { MOST_COATS / 2 } else { earlier.len() };
        for (number, back) in &earlier[..shown] {
            entry(writer, &format!("coat {number}"), &after_minutes(*back));
        }
        if let Some((_, longest)) = earlier[shown..].iter().max_by_key(|(_, back)| back.unwrap_or(u32::MAX)) {
            entry(writer, &format!("coats {} to {}, at most", shown + 1, earlier.len()), &after_minutes(*longest));
        }
    }
    entry(writer, "last coat", &after_minutes(air.return_masked_min));
    writer.text(2, "After the last coat the air is clear:");
    entry(writer, "for you, without a mask", &after_minutes(air.clear_unmasked_min));
    entry(writer, "for children, pregnancy, asthma, pets, birds", &after_minutes(air.clear_others_min));
    if let Some(purge) = air.purge_99_min {
        entry(writer, "with 99 % of it aired out", &after_minutes(Some(purge)));
    }
}

fn mask(writer: &mut Writer, mask: &Respirator) {
    let mut says = vec![
        format!("Mask: {}. Cartridge: {}. Pre-filter: {}.", mask.kind, mask.cartridge, mask.prefilter),
        format!("If it fits, it lets through 1 part in {} of what it holds.", number(mask.protection_factor.round())),
    ];
    if let Some(hours) = mask.cartridge_life_h {
        let hours = number((hours * 10.0).round() / 10.0);
        says.push(format!("Its cartridges last about {hours} h by rule of thumb."));
    }
    if !mask.not_held.is_empty() {
        says.push(format!("It does not hold {}; only fresh air helps against that.", and_list(&mask.not_held)));
    }
    writer.text(2, &says.join(" "));
}

fn flow(writer: &mut Writer, air: &AirReview, look: &Look) {
    let flow = &air.ventilation;
    let mut says = vec![format!(
        "Fresh air: about {} ({}). The warnings count on {} only, and on poor mixing.",
        look.units.air_flow(flow.m3_h),
        flow.source,
        look.units.air_flow(flow.low_m3_h),
    )];
    if let Some(needed) = air.airflow_needed_m3_h {
        says.push(format!("With {} the air would be a plain go.", look.units.air_flow(needed)));
    }
    writer.text(2, &says.join(" "));
}

/// Each substance, for those who ask.
fn solvents(writer: &mut Writer, air: &AirReview, look: &Look) {
    writer.text(2, "What gets into the air:");
    for solvent in &air.solvents {
        let limit = match solvent.limit_8h_ppm {
            Some(limit) => format!("8-hour limit {} ({})", ppm(limit), solvent.limit_source),
            None => "no limit".to_owned(),
        };
        let short = solvent.limit_15min_ppm.map(|limit| format!(", short-time limit {}", ppm(limit)));
        writer.bullet(&sentence(&format!(
            "{}: {}; at your face {} at its worst, {} over 15 minutes; in the room {} at its worst, {} over 8 hours; {limit}{}",
            substance_name(&solvent.id),
            look.units.mass(solvent.released_g),
            ppm(solvent.near_peak_ppm),
            ppm(solvent.mean_15min_ppm),
            ppm(solvent.room_peak_ppm),
            ppm(solvent.mean_8h_ppm),
            short.unwrap_or_default(),
        )));
    }
}
