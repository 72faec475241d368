//! The coat table: what was solved, dried and scheduled, as the plan's coats.

use jiff::ZonedDateTime;

use super::breath::Run;
use super::milestones::later;
use super::model::{Coat, CoatKind, Direction, Surface};
use super::times::CoatDrying;
use crate::input::iso;
use crate::solve::{CoatPlan, PlannedCoat, Position};
use crate::spray::Along;

/// The coats of a plan. `first_at` is absent while a layer is still to be laid: then no coat has a time.
pub(super) fn coat_parts(
    plan: &CoatPlan<'_>,
    drying: &[CoatDrying<'_>],
    run: &Run,
    first_at: Option<&ZonedDateTime>,
) -> Vec<Coat> {
    plan.coats.iter().enumerate().map(|(n, coat)| coat_part(coat, &drying[n], run, n, first_at)).collect()
}

fn coat_part(
    coat: &PlannedCoat<'_>,
    dried: &CoatDrying<'_>,
    run: &Run,
    n: usize,
    first_at: Option<&ZonedDateTime>,
) -> Coat {
    let wait = &run.waits[n];
    let start = first_at.map(|first| later(first, run.starts_min[n]));
    let end_min = run.starts_min[n] + coat.pattern.spray_s / 60.0;
    let mut label_applied = coat.label_applied.clone();
    label_applied.extend(wait.label_applied.iter().cloned());
    Coat {
        number: coat.number,
        kind: match coat.kind {
            crate::solve::CoatKind::Mist => CoatKind::Mist,
            crate::solve::CoatKind::Build => CoatKind::Build,
        },
        distance_cm: coat.setting.distance_cm,
        pass_speed_cm_s: coat.setting.speed_cm_s,
        seconds_per_pass: coat.pattern.seconds_per_pass,
        step_over_cm: coat.setting.step_cm,
        pattern_width_cm: coat.pattern_width_cm,
        first_pass_offset_cm: coat.pattern.first_pass_offset_cm,
        start_corner: coat.pattern.start_corner.to_owned(),
        passes: coat.pattern.passes,
        direction: match coat.pattern.along {
            Along::Long => Direction::Long,
            Along::Short => Direction::Short,
        },
        overrun_cm: coat.pattern.overrun_cm,
        surface: match coat.position {
            Position::Lying => Surface::Flat,
            Position::Standing => Surface::Upright,
        },
        spray_s: coat.pattern.spray_s,
        sealer_g: coat.grams(),
        wet_film_um: coat.wet_um,
        dry_film_um: coat.dry_um,
        cap_um: coat.cap_um,
        limited_by: coat.limited_by.clone(),
        under_cap_pct: coat.under_cap_pct,
        blush_index_pct: dried.sampled.map(|sampled| 100.0 * sampled.blush_index.p50),
        dry_spray_pct: coat.dry_spray_pct,
        ripple_pct: coat.ripple_pct,
        starts_at: start.as_ref().map(iso),
        touch_dry_min: dried.sampled.map(|sampled| sampled.touch_min),
        touch_dry_modelled_min: dried.modelled_touch_min,
        recoat_min: dried.sampled.map(|sampled| sampled.handle_min),
        wait_min: wait.minutes,
        recoat_by: wait.recoat_by_min.and_then(|minutes| first_at.map(|first| iso(&later(first, end_min + minutes)))),
        return_masked_min: run.air.after_coats.get(n).and_then(|times| times.return_masked_min),
        label_applied,
    }
}
