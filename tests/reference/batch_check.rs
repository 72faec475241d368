//! A checker of bench schedules that shares nothing with the search: every rule anew from the words of the problem.

use coatbell::batch::{Coat, Presence, Problem, RoomAir};

/// A schedule that was checked: what it comes to.
pub(crate) struct Checked {
    /// End of the last page.
    pub(crate) makespan: i64,
    /// Greatest index found.
    pub(crate) index_peak: f64,
    /// Mean over eight hours that the operator breathes.
    pub(crate) dose: f64,
    /// Waiting of begun pages beyond their least waits.
    pub(crate) wet_wait: i64,
    /// Most pages on the rack at once.
    pub(crate) rack_peak: usize,
    /// Changes of can.
    pub(crate) changeovers: usize,
}

/// Index a coat alone makes, minutes after its start.
pub(crate) fn trace(air: &RoomAir, minutes: f64, coat: &Coat, after: f64) -> f64 {
    let (a, k) = (air.air_changes_per_h / 60.0, air.evaporation_per_min);
    let source = coat.flash_share * coat.vapour_m3 / minutes / air.volume_m3;
    let sprayed = after.min(minutes);
    if after <= 0.0 {
        return 0.0;
    }
    let mut index = source / a * (1.0 - (-a * sprayed).exp());
    let dry = after - minutes;
    if dry > 0.0 {
        index *= (-a * dry).exp();
        let wet = (1.0 - coat.flash_share) * coat.vapour_m3 / air.volume_m3;
        index += if (a - k).abs() < 1e-7 {
            wet * k * dry * (-k * dry).exp()
        } else {
            wet * k * ((-k * dry).exp() - (-a * dry).exp()) / (a - k)
        };
    }
    index
}

/// Checks a schedule; pages without starts are left out of it.
pub(crate) fn check(problem: &Problem, starts: &[Vec<i64>]) -> Result<Checked, String> {
    if starts.len() != problem.pages.len() {
        return Err("another number of pages".into());
    }
    let mut coats: Vec<(i64, i64, &Coat)> = Vec::new();
    let mut stays: Vec<(i64, i64)> = Vec::new();
    let (mut makespan, mut wet_wait) = (0, 0);
    for (page, starts) in problem.pages.iter().zip(starts) {
        if starts.is_empty() {
            continue;
        }
        if starts.len() != page.coats.len() || starts[0] < page.release {
            return Err(format!("{}: coats missing or before its release", page.label));
        }
        for (index, (coat, start)) in page.coats.iter().zip(starts).enumerate() {
            coats.push((*start, start + coat.spray, coat));
            if index == 0 {
                continue;
            }
            let before = &page.coats[index - 1];
            let gap = start - starts[index - 1] - before.spray;
            let lag = before.lag.expect("every coat but the last has a lag");
            let in_window = lag.min <= gap && lag.max.is_none_or(|max| gap <= max);
            if !in_window && lag.resume.is_none_or(|resume| resume > gap) {
                return Err(format!("{}: gap {gap} before coat {}", page.label, index + 1));
            }
            wet_wait += gap - lag.min.min(lag.resume.unwrap_or(lag.min));
        }
        let last = page.coats.len() - 1;
        let end = starts[last] + page.coats[last].spray + page.final_dry;
        stays.push((starts[0], end));
        makespan = makespan.max(end);
    }
    coats.sort_by_key(|(start, _, _)| *start);
    let (mut free, mut can) = (0, problem.initial_can);
    let (mut blocks, mut changeovers) = (Vec::new(), 0);
    for (start, end, coat) in &coats {
        let begin = start - problem.setup[can][coat.can];
        if begin < free {
            return Err(format!("two things at once at {start}"));
        }
        if problem.pauses.iter().any(|pause| pause.start < pause.end && begin < pause.end && *end > pause.start) {
            return Err(format!("work in a break at {start}"));
        }
        if problem.session_end.is_some_and(|close| *end > close) {
            return Err(format!("work after the session at {start}"));
        }
        changeovers += usize::from(can != coat.can);
        blocks.push((begin, *end));
        (free, can) = (*end, coat.can);
    }
    let mut rack_peak = 0;
    for (start, _) in &stays {
        let on_rack = stays.iter().filter(|(from, to)| from <= start && start < to).count();
        if problem.rack_slots.is_some_and(|slots| on_rack > slots) {
            return Err(format!("{on_rack} pages on the rack at {start}"));
        }
        rack_peak = rack_peak.max(on_rack);
    }
    let (index_peak, dose) = match &problem.air {
        Some(air) => breathed(problem, air, &coats, &blocks)?,
        None => (0.0, 0.0),
    };
    Ok(Checked { makespan, index_peak, dose, wet_wait, rack_peak, changeovers })
}

/// Greatest index between all events, and the dose by Simpson's rule.
fn breathed(
    problem: &Problem,
    air: &RoomAir,
    coats: &[(i64, i64, &Coat)],
    blocks: &[(i64, i64)],
) -> Result<(f64, f64), String> {
    let tick = problem.tick_s / 60.0;
    let index = |minute: f64| -> f64 {
        let own = |(start, _, coat): &(i64, i64, &Coat)| {
            trace(air, coat.spray as f64 * tick, coat, minute - *start as f64 * tick)
        };
        coats.iter().map(own).sum()
    };
    let mut events: Vec<f64> =
        coats.iter().flat_map(|(start, end, _)| [*start as f64 * tick, *end as f64 * tick]).collect();
    events.push(
        events.iter().copied().fold(0.0, f64::max) + 8.0 / air.evaporation_per_min.min(air.air_changes_per_h / 60.0),
    );
    events.sort_by(f64::total_cmp);
    let mut peak = 0.0_f64;
    for pair in events.windows(2) {
        let (mut low, mut high) = (pair[0], pair[1]);
        peak = peak.max(index(low)).max(index(high));
        // One crest or one trough: thirds find the crest if there is one.
        for _ in 0..80 {
            let (left, right) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if index(left) < index(right) { low = left } else { high = right }
        }
        peak = peak.max(index(low));
    }
    if peak > air.ceiling + 1e-6 {
        return Err(format!("index {peak} over the ceiling {}", air.ceiling));
    }
    let last = blocks.last().map_or(0, |block| block.1);
    let stretches: Vec<(i64, i64)> = match air.presence {
        Presence::AtWork => blocks.to_vec(),
        Presence::Throughout => vec![(0, last)],
    };
    // Every tick on its own, so that no event lies inside a step.
    let mut total = 0.0;
    for (from, to) in stretches {
        for at in from..to {
            let (left, right) = (at as f64 * tick, (at + 1) as f64 * tick);
            total += (index(left) + 4.0 * index(f64::midpoint(left, right)) + index(right)) * tick / 6.0;
        }
    }
    Ok((peak, total / 480.0))
}
