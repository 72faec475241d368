"""Times the references of `beside.rs`: prints a name and seconds a line. Needs numpy and scipy."""

import pathlib
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "reference"))
import film_reference  # noqa: E402


def films():
    """Seconds a film: fifty random films until they can be handled, LSODA at a relative tolerance of 1e-4."""
    table = film_reference.substances()
    made = film_reference.cases(table)
    begin = time.perf_counter()
    for case in made:
        film_reference.solve(case, table, 1e-4, condense=False)
    return (time.perf_counter() - begin) / len(made)


def day():
    """Seconds for a day with 200 coats at every second: near field and room, LSODA from change to change."""
    volume, flow, radius, speed = 22.8, 0.006, 0.8, 6.0 / 60.0
    near = 2 / 3 * np.pi * radius**3
    far, exchange = volume - near, np.pi * radius**2 * speed
    begins = np.arange(200) * 420.0
    seconds = np.arange(86_400.0)

    def slope(t, c, steady):
        source = steady + 0.005 * np.exp(-(t - begins[begins + 9.0 <= t] - 9.0) / 300.0).sum()
        return [(source - exchange * (c[0] - c[1])) / near, (exchange * (c[0] - c[1]) - flow * c[1]) / far]

    cuts = sorted({0.0, 86_400.0} | set(begins) | set(begins + 9.0))
    cuts = [cut for cut in cuts if cut <= 86_400.0]
    begin = time.perf_counter()
    state = np.zeros(2)
    for left, right in zip(cuts, cuts[1:]):
        steady = 3.0 / 9.0 if left in begins else 0.0
        times = np.append(seconds[(seconds >= left) & (seconds < right)], right)
        solved = solve_ivp(slope, (left, right), state, "LSODA", times, args=(steady,), rtol=1e-6, atol=1e-10)
        state = solved.y[:, -1]
    return time.perf_counter() - begin


print("version", scipy.__version__)
print("film", films())
print("day", day())
