//! A page's run of coats, ready to be held against many kinds of air without being planned anew for each.

use super::bench::Bench;
use super::breath::run;
use super::choose::asked_or_best;
use super::make::handle_after_last;
use super::request::Request;
use super::times::{blush_in, dry_coats};
use crate::catalog::{Catalog, Sealer};
use crate::conditions::BlushIndex;
use crate::solve::{CoatPlan, plan_coats};
use crate::vapour::MoistAir;

/// The coats of a page as they would be in the air of the request.
#[derive(Debug, Clone)]
pub struct Prospect<'a> {
    bench: Bench<'a>,
    coats: CoatPlan<'a>,
    /// The sealer.
    pub sealer: &'a Sealer,
    /// From the first coat's start to handle-dry, min, in the air of the request.
    pub run_min: f64,
}

impl<'a> Prospect<'a> {
    /// Plans the coats of a page in the air of the request, without judging it. The run is longest in the coldest and
    /// dampest air: asked for in that, it is long enough for any better one.
    pub fn of(request: &Request<'a>, catalog: &'a Catalog) -> Self {
        let bench = Bench::of(request, catalog);
        let sealer = asked_or_best(request, &bench);
        let coats = plan_coats(request.sheet, sealer, &bench.air.air, catalog, request.seed);
        let run_min = {
            let drying = dry_coats(&bench, sealer, &coats.coats, request.seed);
            let run = run(request, &bench, sealer, &coats.coats, &drying);
            let last_start_min = run.starts_min.last().copied().unwrap_or(0.0);
            let last_spray_s = coats.coats.last().map_or(0.0, |coat| coat.pattern.spray_s);
            last_start_min + last_spray_s / 60.0 + handle_after_last(sealer, &run, &catalog.rules)
        };
        Self { bench, coats, sealer, run_min }
    }

    /// The blush index in some air; `None` where films do not blush this way.
    pub fn blush(&self, air: MoistAir) -> Option<BlushIndex> {
        blush_in(&self.bench, self.sealer, &self.coats.coats, air)
    }

    /// How many coats there are.
    pub fn coats(&self) -> usize {
        self.coats.coats.len()
    }
}
