use super::*;
use crate::vapour::samples::{around, indoor, substance};
use crate::vapour::{gas_film_m_s, lewis_heat_w_m2_k, wash_surface};
use approx::assert_relative_eq;

fn part(id: &str, mass_g_m2: f64) -> LayerPart {
    let substance = substance(id);
    LayerPart {
        mass_g_m2,
        molar_mass_g_mol: substance.molar_mass_g_mol,
        curve: VapourCurve::of(&substance),
        gas_film_m_s: gas_film_m_s(1.4e-3, substance.diffusivity_m2_s),
        latent_j_g: substance.heat_of_vaporisation_kj_mol * 1000.0 / substance.molar_mass_g_mol,
        density_kg_m3: substance.density_kg_m3,
        glass_transition_k: 115.0,
        heat_capacity_j_g_k: 2.0,
        far_pressure_pa: 0.0,
        dissolves: true,
    }
}

fn layer(parts: Vec<LayerPart>, solids_g_m2: f64) -> Layer {
    let path_m = solids_g_m2 / 1150.0 * 1e-3;
    Layer {
        parts,
        solids: Some(LayerSolids {
            mass_g_m2: solids_g_m2,
            density_kg_m3: 1150.0,
            glass_transition_k: 318.0,
            interaction: 0.4,
            path_m,
            diffusivity_at_tg_m2_s: 1e-16,
            diffusivity_coupling: 0.65,
        }),
        dry_heat_capacity_j_m2_k: 208.0 + 2.0 * solids_g_m2,
        heat_w_m2_k: lewis_heat_w_m2_k(1.4e-3, 22.0, 101_325.0) + 10.5,
        start_k: 290.0,
        air_k: 295.15,
        pressure_pa: 101_325.0,
    }
}

fn build() -> Layer {
    layer(vec![part("acetone", 11.32), part("n-butyl-acetate", 6.3), part("pm-acetate", 2.1)], 4.2)
}

#[test]
fn derivatives_are_those_of_the_rates() {
    // Central differences, in the wet film and in the nearly dry one.
    let layer = layer(
        vec![part("acetone", 11.32), LayerPart { dissolves: false, ..part("water", 1.0) }, part("pm-acetate", 2.1)],
        4.2,
    );
    for state in [[2.4, 0.1, 0.7, 285.0], [-4.0, -3.0, -1.0, 292.0]] {
        let mut rates = rates::Rates::new(&layer, vec![0, 1, 2]);
        let mut slope = [0.0; 4];
        rates.evaluate(&state, &mut slope);
        let mut jacobian = matrix::Matrix::default();
        rates.derivatives(slope[3], &mut jacobian);
        for column in 0..4 {
            let difference = |shift: f64| {
                let mut moved = state;
                moved[column] += shift;
                let mut slope = [0.0; 4];
                rates::Rates::new(&layer, vec![0, 1, 2]).evaluate(&moved, &mut slope);
                slope
            };
            let (above, below) = (difference(1e-5), difference(-1e-5));
            for row in 0..4 {
                let expected = (above[row] - below[row]) / 2e-5;
                let got = jacobian.row_mut(row)[column];
                assert!((got - expected).abs() <= 1e-6 + 1e-4 * expected.abs(), "{row} {column} {got} {expected}");
            }
        }
    }
}

#[test]
fn the_step_is_of_third_order() {
    // Halving the step divides the error of one step by about 2⁴.
    let layer = build();
    let state: Vec<f64> = layer.parts.iter().map(|part| part.mass_g_m2.ln()).chain([290.0]).collect();
    let end = |parts: u32| {
        let mut rates = rates::Rates::new(&layer, vec![0, 1, 2]);
        let mut solver = rosenbrock::Rosenbrock::default();
        let mut state = state.clone();
        let mut slope = vec![0.0; 4];
        for _ in 0..parts {
            rates.evaluate(&state, &mut slope);
            solver.prepare(&mut rates, &slope);
            assert!(solver.step(&mut rates, &state, &slope, 8.0 / f64::from(parts)));
            state.clone_from(&solver.next);
        }
        state[0]
    };
    let exact = end(512);
    let (coarse, fine) = ((end(4) - exact).abs(), (end(8) - exact).abs());
    let order = (coarse / fine).log2();
    assert!((2.6..4.0).contains(&order), "{order}");
}

#[test]
fn a_pure_liquid_without_heat_loss_leaves_at_a_constant_rate() {
    // Closed form: isothermal pure liquid, time = mass over flux. A huge heat coefficient holds the temperature.
    let mut only = layer(vec![part("n-butyl-acetate", 10.0)], 1.0);
    only.solids = None;
    only.start_k = only.air_k;
    only.heat_w_m2_k = 1e9;
    let isothermal = {
        let part = &only.parts[0];
        let share = part.curve.pressure_pa(only.air_k) / only.pressure_pa;
        -part.gas_film_m_s * part.molar_mass_g_mol * only.pressure_pa / (8.314_462_618 * only.air_k) * (-share).ln_1p()
    };
    let run = evaporate(&only, 1e5, |_| true);
    assert_eq!(run.reason, StopReason::Dry);
    assert_relative_eq!(run.seconds, 10.0 / isothermal, max_relative = 2e-3);
}

#[test]
fn a_wash_leaves_at_its_steady_flux() {
    // The steady surface of the same air: 56 g/(m² h) at 22 °C, 45 %.
    let air = indoor(22.0, 0.45);
    let mut wash = layer(vec![LayerPart { dissolves: false, heat_capacity_j_g_k: 4.2, ..part("water", 150.0) }], 1.0);
    wash.solids = None;
    wash.parts[0].far_pressure_pa = 0.45 * wash.parts[0].curve.pressure_pa(wash.air_k);
    wash.heat_w_m2_k = lewis_heat_w_m2_k(1.4e-3, 22.0, 101_325.0) + 5.5;
    wash.start_k = wash.air_k;
    let run = evaporate(&wash, 3600.0, |_| true);
    let steady = wash_surface(&substance("water"), &air, &around(1.4e-3, 0.0));
    assert_relative_eq!(150.0 - run.masses_g_m2[0], steady.flux_g_m2_s * 3600.0, max_relative = 0.06);
    assert!((run.temperature_k - 273.15 - steady.temperature_c).abs() < 0.05);
}

#[test]
fn diffusion_alone_is_exponential() {
    // Closed form: with a vast gas-film coefficient m = m₀ exp(−t/τ); below the glass transition τ is constant.
    let mut slow = layer(vec![LayerPart { gas_film_m_s: 1e6, latent_j_g: 0.0, ..part("acetone", 0.001) }], 4.2);
    slow.start_k = slow.air_k;
    let path = 4.2 / 1150.0 * 1e-3;
    let tau = 4.0 * path * path / (std::f64::consts::PI.powi(2) * 1e-16);
    let run = evaporate(&slow, tau, |_| true);
    assert_relative_eq!(run.masses_g_m2[0], 0.001 * (-1.0_f64).exp(), max_relative = 5e-3);
}

#[test]
fn extremes_do_not_blow_up_the_step() {
    let mut most = 0;
    for film in [0.7e-3, 1.5e-3, 3.5e-3, 0.1] {
        for diffusivity in [1e-17, 1e-15] {
            for coupling in [0.5, 0.8] {
                for solids in [0.1, 4.0, 60.0] {
                    let mut layer = build();
                    layer.parts.push(LayerPart { dissolves: false, far_pressure_pa: 1500.0, ..part("water", 0.5) });
                    for part in &mut layer.parts {
                        part.gas_film_m_s *= film / 1.4e-3;
                    }
                    let layer_solids = layer.solids.as_mut().unwrap();
                    layer_solids.mass_g_m2 = solids;
                    layer_solids.path_m = 20e-6;
                    layer_solids.diffusivity_at_tg_m2_s = diffusivity;
                    layer_solids.diffusivity_coupling = coupling;
                    let run = evaporate(&layer, 86_400.0, |_| true);
                    assert_ne!(run.reason, StopReason::Stuck, "{film} {diffusivity} {coupling} {solids}");
                    most = most.max(run.steps);
                }
            }
        }
    }
    assert!(most < 250, "{most}");
}
