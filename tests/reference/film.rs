//! The evaporating film against an independent solution of the same equations.
//!
//! `film_reference.py` beside this file wrote `film_cases.csv` (scipy solve_ivp, LSODA, relative tolerance 1e-8).

use super::film_case::{Case, substances};

#[test]
fn fifty_films_agree_with_another_solver() {
    let substances = substances();
    let cases = Case::all();
    assert_eq!(cases.len(), 50);
    for (number, case) in cases.iter().enumerate() {
        let landed = case.landed(&substances);
        let drier = case.drier();
        let times = drier.times(&landed, case.get("below_um"));
        let close = |what: &str, got: f64, expected: f64, allowed: f64| {
            assert!((got - expected).abs() <= allowed, "case {number}, {what}: {got} instead of {expected}");
        };
        for (what, seconds) in [("touch_s", times.touch_s), ("handle_s", times.handle_s)] {
            let expected = case.get(what);
            close(what, seconds.expect("every case dries"), expected, 0.01 * expected);
        }
        close("coldest_c", times.coldest_film_c, case.get("coldest_c"), 0.1);
        // The condensed water is a sum over the steps of the film: 3 % or 10 mg/m², far below any threshold.
        let condensed = case.get("condensed_g_m2");
        close("condensed_g_m2", times.peak_condensed_g_m2, condensed, (0.03 * condensed).max(0.01));
        let masses = drier.masses_g_m2(&landed, case.get("below_um"), case.get("touch_s"));
        let laid: f64 = landed.parts.iter().map(|part| part.mass_g_m2).sum();
        for (part, mass) in landed.parts.iter().zip(masses) {
            close(&part.substance.id, mass, case.get(&format!("touch_{}", part.substance.id)), 0.01 * laid);
        }
    }
}
