//! Where every number of a plan comes from: its formula, its inputs, their basis and source.

use super::bench::Bench;
use super::breath::Run;
use super::model::{Plan, Why};
use super::request::Request;
use crate::air::SolventAir;
use crate::catalog::{Figure, Sealer};
use crate::estimate::{Basis, Triple};
use crate::quantity::number;
use crate::solve::CoatPlan;

/// Everything a row needs.
struct Rows<'p> {
    found: Vec<Why>,
    plan: &'p Plan,
    bench: &'p Bench<'p>,
    sealer: &'p Sealer,
}

/// The grounds of every computed number of the plan.
pub(super) fn why(
    plan: &Plan,
    request: &Request<'_>,
    bench: &Bench<'_>,
    sealer: &Sealer,
    coats: &CoatPlan<'_>,
    run: &Run,
) -> Vec<Why> {
    let mut rows = Rows { found: Vec::new(), plan, bench, sealer };
    rows.room();
    rows.ready(request);
    for n in 0..plan.coats.len() {
        rows.coat(n, coats, run);
    }
    rows.totals();
    rows.air();
    rows.found
}

impl Rows<'_> {
    fn add(&mut self, path: impl Into<String>, formula: &str, inputs: String, basis: Basis, source: Option<&str>) {
        self.found.push(Why {
            path: path.into(),
            formula: formula.to_owned(),
            inputs,
            basis,
            source: source.map(str::to_owned),
        });
    }

    fn figure(&mut self, path: impl Into<String>, formula: &str, inputs: String, figure: &Figure) {
        let grounds = figure.grounds.clone();
        self.add(path, formula, inputs, grounds.basis, grounds.source.as_deref());
    }

    fn room(&mut self) {
        let room = &self.plan.room;
        let inputs = format!("T {} °C, humidity {} %", show(room.temperature_c), show(room.relative_humidity_pct));
        self.add(
            "room.dew_point_c",
            "the temperature at which p_sat(T_dew) = humidity × p_sat(T), p_sat by Hyland and Wexler",
            inputs,
            Basis::Published,
            Some("ASHRAE Handbook of Fundamentals, chapter 1"),
        );
    }

    fn ready(&mut self, request: &Request<'_>) {
        let rules = &self.bench.catalog.rules.ready;
        let layers = request.sheet.layers.len();
        self.figure(
            "ready_at",
            "latest of finished + wait (most likely); water media × [p_sat(20 °C) 0.5] / [p_sat(T) (1 − humidity)], \
             solvent media × 2 per 10 K colder, dry media as they are",
            format!("{layers} layers and the air at the bench"),
            &rules.reference_temperature_c,
        );
    }

    fn coat(&mut self, n: usize, plan: &CoatPlan<'_>, run: &Run) {
        let coat = self.plan.coats[n].clone();
        let solved = &plan.coats[n];
        let path = |field: &str| format!("coats[{n}].{field}");
        let rules = self.bench.catalog.rules.coats.clone();
        let spray = self.bench.catalog.model.spray.clone();
        let discharge = self.sealer.can.discharge_g_s.unwrap_or(self.sealer.discharge_g_s);
        let discharge_basis = if self.sealer.can.discharge_g_s.is_some() { Basis::Measured } else { Basis::Estimate };

        self.figure(
            path("cap_um"),
            "least of every medium's safe first film (by laydown and cover), the share of the paper's pores, and the most of any first coat; builds: pores and what runs",
            format!("{} µm, set by {}", show(coat.cap_um), coat.limited_by),
            &rules.mist_cap_um,
        );
        let band = if solved.kind == crate::solve::CoatKind::Mist {
            &rules.mist_distance_min_cm
        } else {
            &rules.build_distance_min_cm
        };
        self.figure(
            path("distance_cm"),
            "nearest setting of the allowed band at which the wanted share of samples keeps the limit",
            format!(
                "{} cm, {} cm/s, step {} cm",
                show(coat.distance_cm),
                show(coat.pass_speed_cm_s),
                show(coat.step_over_cm)
            ),
            band,
        );
        self.add(
            path("wet_film_um"),
            "w = ṁ(T) Σ f_i (1 − lost_i) TE(d) / (v s ρ_i), at every sampled point × the unevenness of the passes",
            format!(
                "ṁ at 22 °C {} g/s, now × {}; TE(15 cm) {}; cone {}°; droplets {} µm; hand ± {} %",
                triple(discharge),
                show(solved.discharge_g_s / discharge.mode()),
                triple(spray.transfer_at_15cm.value),
                triple(spray.cone_half_angle_deg.value),
                triple(spray.droplet_um.value),
                show(100.0 * spray.hand_speed_variation.get())
            ),
            discharge_basis,
            None,
        );
        self.add(
            path("dry_film_um"),
            "w_solids / ρ_solids",
            format!("solids that land {} g/m²", show(solved.deposit.landed.solids_g_m2)),
            Basis::Estimate,
            None,
        );
        self.add(
            path("ripple_pct"),
            "√(2 Σ_k exp(−4 π² k² σ²/s²)), k = 1, 2, …",
            format!("pattern width {} cm = 4 σ, step {} cm", show(coat.pattern_width_cm), show(coat.step_over_cm)),
            Basis::Published,
            Some("Poisson summation of equal Gaussian strips (mathematics)"),
        );
        self.add(
            path("passes"),
            "ceil((side + 2 σ) / s) + 1; first and last pass at least σ outside the edge",
            format!("side {} × {} cm", show(self.plan.page.width_cm), show(self.plan.page.height_cm)),
            Basis::Practice,
            None,
        );
        self.add(
            path("sealer_g"),
            "ṁ(T) × passes × (side + 2 × overrun) / v",
            format!("{} passes of {} s", coat.passes, show(coat.seconds_per_pass)),
            discharge_basis,
            None,
        );
        self.add(
            path("dry_spray_pct"),
            "share of the droplet volume that loses its liquid in t_f = d² / (13.6 √(ṁ u0 / ρ_air)), D² law, log-normal sizes",
            format!("exit speed {} m/s", triple(spray.exit_speed_m_s.value)),
            Basis::Estimate,
            None,
        );
        if let Some(recoat) = coat.recoat_min {
            let film = self.bench.catalog.model.film.clone();
            self.add(
                path("recoat_min"),
                "film ODE: N_i = k_i M_i P/(R T) ln((P − p_∞)/(P − a_i p_i)), heat balance, diffusion tail; dry when Tg (Fox) is within the margin of 21 °C",
                format!(
                    "median {} min; k0 {} m/s; Dg {} m²/s; margins {} and {} K",
                    show(recoat.p50),
                    triple_scientific(self.bench.gas_film),
                    triple_scientific(film.diffusivity_at_tg_m2_s.value),
                    show(rules.touch_margin_k.get()),
                    show(rules.handle_margin_k.get())
                ),
                Basis::Estimate,
                None,
            );
        }
        let wait = &run.waits[n];
        self.figure(
            path("wait_min"),
            "max(label's minimum, floor of the kind, 3 × median drying time, masked return), rounded up to 5 min",
            format!("{} min, governed by {}", wait.minutes, wait.governed_by),
            &rules.wait_factor,
        );
    }

    fn totals(&mut self) {
        if let Some(total) = self.plan.dry_film_total_um {
            self.add(
                "dry_film_total_um",
                "sum of the coats' dry films, sample by sample",
                format!("median {} µm", show(total.p50)),
                Basis::Estimate,
                None,
            );
        }
        self.add(
            "handle_at",
            "end of the last coat + max(its wait, the trade's touch-dry time, the label, the floor)",
            format!("touch-dry {} min", triple(self.sealer.touch_min)),
            Basis::Practice,
            None,
        );
    }

    fn air(&mut self) {
        let Some(air) = self.plan.air.clone() else { return };
        let rules = self.bench.catalog.rules.air.clone();
        let ventilation = &air.ventilation;
        let flow = format!(
            "for sure {} m³/h ({}), mixing factor {}",
            show(ventilation.low_m3_h),
            ventilation.source,
            show(ventilation.mixing_factor)
        );
        self.figure(
            "air.index_15min",
            "Σ_i highest 15-minute mean at the face / 8-hour limit; near field and room in closed form",
            flow.clone(),
            &rules.near_field_radius_m,
        );
        self.figure(
            "air.lel_near_pct",
            "Σ_i C_i / LEL_i (Le Chatelier) with every substance's lowest published explosive limit, highest second",
            flow.clone(),
            &rules.near_lel_care,
        );
        self.figure(
            "air.return_masked_min",
            "last moment at which the index at the bench behind the mask, that of what it does not hold, or the explosive share is over its limit",
            flow,
            &rules.return_lel,
        );
        for solvent in &air.solvents {
            self.add(
                format!("air.solvents.{}", solvent.id),
                "limit used",
                format!(
                    "8 h: {}; 15 min: {}",
                    solvent.limit_8h_ppm.map_or_else(|| "none".to_owned(), |limit| format!("{} ppm", show(limit))),
                    solvent.limit_15min_ppm.map_or_else(|| "none".to_owned(), |limit| format!("{} ppm", show(limit)))
                ),
                self.limit_basis(solvent),
                Some(&solvent.limit_source),
            );
        }
    }

    /// A limit is published only where the figure used is that of the bodies named.
    fn limit_basis(&self, solvent: &SolventAir) -> Basis {
        let published = self.bench.catalog.substances.get(&solvent.id).and_then(|one| one.limits.lowest_twa_ppm);
        if published.is_some() && published == solvent.limit_8h_ppm { Basis::Published } else { Basis::Choice }
    }
}

/// A number with about three figures.
fn show(value: f64) -> String {
    let decimals = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        3
    };
    number(format!("{value:.decimals$}").parse().unwrap_or(value))
}

fn triple(value: Triple) -> String {
    format!("{}/{}/{}", show(value.low()), show(value.mode()), show(value.high()))
}

fn triple_scientific(value: Triple) -> String {
    format!("{:.1e}/{:.1e}/{:.1e}", value.low(), value.mode(), value.high())
}
