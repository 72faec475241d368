//! What a schedule comes to: times, waits, the rack, the air and what the operator breathes.

use super::air::AirState;
use super::network::{Dose, Network};
use super::problem::{Presence, Tick};

/// What a schedule comes to; by default that of none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measures {
    /// End of the last page, ticks.
    pub makespan: Tick,
    /// End of the last coat, ticks.
    pub work_end: Tick,
    /// Ticks that begun pages wait beyond their least waits.
    pub wet_wait: Tick,
    /// Changes of can.
    pub changeovers: usize,
    /// Most pages on the rack at once.
    pub rack_peak: usize,
    /// Greatest index of the air, if the room has any.
    pub index_peak: Option<f64>,
    /// Mean index over eight hours that the operator breathes.
    pub dose: Option<f64>,
}

/// Measures coats sprayed in a sequence at their starts.
pub(super) fn measure(network: &Network, sequence: &[usize], starts: &[Tick]) -> Measures {
    let mut found = Measures::default();
    let mut stays: Vec<(Tick, i32)> = Vec::new();
    let mut can = network.initial_can;
    for coat in sequence {
        let operation = &network.operations[*coat];
        let start = starts[*coat];
        found.changeovers += usize::from(operation.can != can);
        can = operation.can;
        found.work_end = found.work_end.max(start + operation.spray);
        if operation.first {
            stays.push((start, 1));
        } else {
            let gap = start - starts[coat - 1] - network.operations[coat - 1].spray;
            found.wet_wait += gap - operation.gap_min;
        }
        if operation.last {
            let leaves = start + operation.tail;
            stays.push((leaves, -1));
            found.makespan = found.makespan.max(leaves);
        }
    }
    stays.sort_unstable();
    let mut on_rack = 0;
    for (_, change) in stays {
        on_rack += change;
        found.rack_peak = found.rack_peak.max(on_rack.max(0) as usize);
    }
    if let Some((peak, dose)) = breathed(network, sequence, starts) {
        found.index_peak = Some(peak);
        found.dose = Some(dose);
    }
    found
}

/// Greatest index and dose. The integral of the index over a stretch is what was released in it less the growth of
/// the index, over the air changes: no quadrature.
pub(super) fn breathed(network: &Network, sequence: &[usize], starts: &[Tick]) -> Option<(f64, f64)> {
    let (kernel, dose) = (network.air.as_ref()?, network.dose.as_ref()?);
    let integral =
        |from: AirState, to: AirState, released: f64| (released - (to.index - from.index)) / dose.exchange_per_tick;
    let (mut state, mut at, mut can) = (AirState::default(), 0, network.initial_can);
    let (mut peak, mut total) = (0.0_f64, 0.0);
    for coat in sequence {
        let operation = &network.operations[*coat];
        let changeover = network.changeover(can, operation.can);
        can = operation.can;
        let block = starts[*coat] - changeover;
        let begun = kernel.later(state, block - at);
        if dose.presence == Presence::Throughout {
            total += integral(state, begun, state.liquid - begun.liquid);
        }
        let ready = kernel.later(begun, changeover);
        total += integral(begun, ready, begun.liquid - ready.liquid);
        peak = peak.max(kernel.peak_with(ready, *coat));
        state = kernel.after(ready, *coat);
        let (flash, later) = dose.released[*coat];
        total += integral(ready, state, flash + ready.liquid - (state.liquid - later));
        at = starts[*coat] + operation.spray;
    }
    Some((peak, total / dose.shift_ticks))
}

/// Whether the air stays below the ceiling throughout.
pub(super) fn air_holds(network: &Network, sequence: &[usize], starts: &[Tick]) -> bool {
    let Some(kernel) = &network.air else { return true };
    let (mut state, mut at) = (AirState::default(), 0);
    for coat in sequence {
        state = kernel.later(state, starts[*coat] - at);
        if !kernel.fits(state, *coat) {
            return false;
        }
        state = kernel.after(state, *coat);
        at = starts[*coat] + network.operations[*coat].spray;
    }
    true
}

impl Dose {
    /// Whether a dose is within the limit.
    pub(super) fn allows(&self, dose: f64) -> bool {
        dose <= self.limit + 1e-9
    }
}
