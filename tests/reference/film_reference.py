"""Solves fifty random drying films with scipy's LSODA and writes film_cases.csv beside this file.

The equations are those documented in src/vapour/layer and src/film, written again from their statement, solved in
their own way (logarithms of the masses, LSODA, relative tolerance 1e-8). The Rust test compares times and masses.
`tests/bench/beside.py` times the same films.

Needs numpy and scipy. Run from anywhere: python film_reference.py
"""

import csv
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).parent
GAS = 8.314462618
ZERO = 273.15
PRESSURE = 101325.0
WATER_LATENT, WATER_MASS, WATER_DIFFUSIVITY = 2441.0, 18.015, 2.537e-5
TOUCH, HANDLE = 294.15 - 54.0, 294.15 - 21.0


def substances():
    with open(HERE / "film_substances.csv", newline="", encoding="utf-8") as file:
        return [{key: value if key == "id" else float(value) for key, value in row.items()} for row in csv.DictReader(file)]


def saturation(celsius):
    t = celsius + ZERO
    if celsius < 0.01:
        log = (-5.6745359e3 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t**2 + 2.0747825e-9 * t**3
               - 9.484024e-13 * t**4 + 4.1635019 * math.log(t))
    else:
        log = (-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t**2 - 1.4452093e-8 * t**3
               + 6.5459673 * math.log(t))
    return math.exp(log)


def solve(case, table, tolerance, condense=True):
    """Times, masses left at both times, peak of condensed water and coldest film of one case."""
    chosen = [row for row in table if case[row["id"]] > 0.0]
    column = lambda key: np.array([row[key] for row in chosen])
    water = np.array([row["id"] == "water" for row in chosen])
    laid = np.array([case[row["id"]] for row in chosen])
    molar, density = column("molar_mass_g_mol"), column("density_kg_m3")
    a = column("antoine_a") * math.log(10) + math.log(133.322387415)
    b, c = column("antoine_b") * math.log(10), column("antoine_c") - ZERO
    latent = np.where(water, 0.0, column("heat_of_vaporisation_kj_mol") * 1000.0 / molar)
    scale = lambda diffusivity: (diffusivity / 1e-5) ** (2.0 / 3.0)
    film = case["gas_film_m_s"] * scale(column("diffusivity_m2_s"))
    transition = np.where(water, case["water_tg_k"], case["solvent_tg_k"])
    heat_capacity = np.where(water, 4.2, case["liquid_j_g_k"])
    air = case["t_c"] + ZERO
    far = np.where(water, case["rh"] * np.exp(a - b / (air + c)), 0.0)
    solids, resin = case["solids_g_m2"], case["resin_tg_k"]
    solid_volume = solids / case["solids_kg_m3"]
    path = case["below_um"] * 1e-6 + solid_volume * 1e-3
    heat = (case["gas_film_m_s"] * scale(2.14e-5) * PRESSURE / (287.05 * air) * 1006.0
            + case["radiation_w_m2_k"] + case["back_w_m2_k"])
    dry_capacity = case["sheet_j_m2_k"] + solids * case["liquid_j_g_k"]
    landed_capacity = (laid * heat_capacity).sum() + solids * case["liquid_j_g_k"]
    start = air - case["drop_k"] * landed_capacity / (landed_capacity + case["sheet_j_m2_k"])
    vapour = case["rh"] * saturation(case["t_c"])
    water_film = case["gas_film_m_s"] * scale(WATER_DIFFUSIVITY)
    count = len(chosen)

    def physics(state):
        mass, temperature = np.exp(np.maximum(state[:count], -150.0)), state[count]
        moles = mass / molar
        share = moles / moles.sum()
        liquid = (mass / density).sum()
        phi = liquid / (liquid + solid_volume)
        rest = 1.0 - phi
        dissolved = phi * math.exp(rest + case["interaction"] * rest * rest)
        activity = np.where(water, share, share * dissolved)
        near = np.minimum(activity * np.exp(a - b / (temperature + c)) / PRESSURE, 0.95)
        gas = film * molar * PRESSURE / (GAS * 0.5 * (temperature + air))
        flux = np.maximum(gas * (np.log1p(-far / PRESSURE) - np.log1p(-near)), 0.0)
        evaporation = flux / mass
        glass = (mass.sum() + solids) / ((mass / transition).sum() + solids / resin)
        margin = max(temperature - glass, 0.0)
        decades = case["coupling"] * 17.44 * margin / (51.6 + margin)
        delay = 4.0 * path**2 / (math.pi**2 * case["diffusivity_m2_s"] * 10.0**decades)
        rate = evaporation / (1.0 + evaporation * delay)
        capacity = dry_capacity + (mass * heat_capacity).sum()
        push = np.where(flux > 0.0, gas / mass * near / (1.0 - near), 0.0)
        damping = 1.0 / (1.0 + evaporation * delay)
        stiffness = heat + (mass * latent * push * b / (temperature + c) ** 2 * damping**2).sum()
        balance = heat * (air - temperature) - (mass * rate * latent).sum()
        return np.append(-rate, balance / capacity), stiffness, capacity

    def crossing(target):
        def softness(_, state):
            mass = np.exp(state[:count])
            return (mass * (1.0 / transition - 1.0 / target)).sum() + solids * (1.0 / resin - 1.0 / target)
        return softness

    touch, handle = crossing(TOUCH), crossing(HANDLE)
    handle.terminal = True
    begin = np.append(np.log(laid), start)
    absolute = np.append(np.full(count, tolerance), 10.0 * tolerance)
    run = solve_ivp(lambda _, state: physics(state)[0], (0.0, 604800.0), begin, method="LSODA", rtol=tolerance, atol=absolute, events=[touch, handle],
                    dense_output=True)
    touch_s, handle_s = float(run.t_events[0][0]), float(run.t_events[1][0])
    left = {row["id"]: (0.0, 0.0) for row in table}
    for place, row in enumerate(chosen):
        left[row["id"]] = (math.exp(run.sol(touch_s)[place]), math.exp(run.sol(handle_s)[place]))
    if not condense:
        return touch_s, handle_s, left
    settled, warmer, peak, coldest, step = 0.0, 0.0, 0.0, start, 300.0 / 6000
    cold = solve_ivp(lambda _, state: physics(state)[0], (0.0, 300.0), begin, method="LSODA", rtol=tolerance,
                     atol=absolute, dense_output=True)
    for state in cold.sol(step * (np.arange(6000) + 0.5)).T:
        _, stiffness, capacity = physics(state)
        coldest = min(coldest, state[count])
        warm = state[count] + warmer
        settle = water_film * WATER_MASS / (GAS * 0.5 * (warm + air)) * (vapour - saturation(warm - ZERO))
        warmer += step * (WATER_LATENT * settle - stiffness * warmer) / capacity
        settled += step * settle
        if settled <= 0.0:
            settled = warmer = 0.0
        peak = max(peak, settled)
    return touch_s, handle_s, left, peak, coldest - ZERO


def cases(table):
    """Fifty films over the low to high ends of every figure, with a fixed seed."""
    random = np.random.default_rng(20240229)
    made = []
    while len(made) < 50:
        between = lambda low, high: float(f"{random.uniform(low, high):.4g}")
        log_between = lambda low, high: float(f"{math.exp(random.uniform(math.log(low), math.log(high))):.4g}")
        case = {
            "t_c": between(12.0, 32.0), "rh": between(0.25, 0.85), "gas_film_m_s": log_between(0.7e-3, 3.5e-3),
            "radiation_w_m2_k": between(5.0, 6.0), "back_w_m2_k": between(0.0, 10.0),
            "sheet_j_m2_k": between(100.0, 400.0), "diffusivity_m2_s": log_between(1e-17, 1e-15),
            "coupling": between(0.5, 0.8), "interaction": between(0.3, 0.5), "drop_k": between(15.0, 40.0),
            "solvent_tg_k": between(95.0, 135.0), "water_tg_k": 136.0, "liquid_j_g_k": 2.0,
            "resin_tg_k": between(303.0, 328.0), "solids_kg_m3": between(1050.0, 1250.0),
            "solids_g_m2": log_between(0.8, 12.0), "below_um": between(0.0, 10.0),
        }
        for row in table:
            case[row["id"]] = 0.0
        liquids = [row["id"] for row in table if row["id"] != "water"]
        wet = case["solids_g_m2"] * random.uniform(2.0, 9.0)
        picked = random.choice(liquids, size=int(random.integers(1, 6)), replace=False)
        for name, share in zip(picked, random.dirichlet(np.ones(len(picked)))):
            case[str(name)] = float(f"{wet * max(share, 0.01):.4g}")
        if random.uniform() < 0.3:
            case["water"] = float(f"{0.05 * wet:.4g}")
        made.append(case)
    return made


def main():
    table = substances()
    made = cases(table)
    names = [row["id"] for row in table]
    with open(HERE / "film_cases.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(list(made[0]) + ["touch_s", "handle_s", "condensed_g_m2", "coldest_c"]
                        + [f"touch_{name}" for name in names] + [f"handle_{name}" for name in names])
        for case in made:
            touch_s, handle_s, left, condensed, coldest = solve(case, table, 1e-8)
            writer.writerow([f"{value:.6g}" for value in case.values()]
                            + [f"{touch_s:.7g}", f"{handle_s:.7g}", f"{condensed:.6g}", f"{coldest:.5g}"]
                            + [f"{left[name][0]:.6g}" for name in names] + [f"{left[name][1]:.6g}" for name in names])


if __name__ == "__main__":
    main()
