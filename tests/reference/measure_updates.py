"""Computes what twenty cans are known to be after measurements, and writes measure_updates.csv beside this file.

The model is that of src/record, written again from its statement and solved in another way: nothing here uses that a
normal prior and normal readings have a closed answer. The prior is the log-normal nearest to a triangle at its 10, 50
and 90 % points (least squares of the logarithms, scipy.optimize); prior times likelihood is summed on a grid; the points
of the posterior are found by interpolating its integral.

- can, cone: one unknown; each reading has its own relative error.
- transfer: three unknowns (rate, share that stays, solids); the can tells the rate, a card tells the product.
- drying: what stays the same from coat to coat, and for every touched coat what is its own; asked is the next coat.

Needs numpy 2.4 and scipy 1.17. The cases are invented. Run from anywhere: python measure_updates.py
"""

import csv
import pathlib

import numpy as np
from scipy.integrate import cumulative_trapezoid
from scipy.interpolate import CubicSpline
from scipy.optimize import least_squares
from scipy.stats import norm, triang

HERE = pathlib.Path(__file__).parent
SHARES = (0.1, 0.5, 0.9)
REACH = 9.0


def matched(low, mode, high):
    """Mean and standard deviation of the logarithm."""
    if low == high:
        return np.log(mode), 0.0
    triangle = triang((mode - low) / (high - low), loc=low, scale=high - low)
    target = np.log([triangle.ppf(share) for share in SHARES])
    off = lambda x: x[0] + np.exp(x[1]) * norm.ppf(SHARES) - target
    found = least_squares(off, [target[1], np.log(0.2)], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return found.x[0], np.exp(found.x[1])


def axis(mean, sd, points):
    return np.linspace(mean - REACH * sd, mean + REACH * sd, points)


def points_of(grid, log_density):
    """The 10, 50 and 90 % points, of the value and not of its logarithm."""
    density = np.exp(log_density - log_density.max())
    below = cumulative_trapezoid(density, grid, initial=0.0)
    return np.exp(np.interp(SHARES, below / below[-1], grid))


def log_likelihood(grid, value, sd):
    return norm.logpdf(np.log(value), loc=grid, scale=sd)


def one_unknown(prior, readings):
    mean, sd = matched(*prior)
    grid = axis(mean, sd, 40001)
    log_density = norm.logpdf(grid, mean, sd)
    for value, error in readings:
        log_density = log_density + log_likelihood(grid, value, error)
    return points_of(grid, log_density)


def transfer(rate_prior, share_prior, solids_sd, cans, cards):
    """Marginal of the share: sums over rate and solids for every share."""
    rate_mean, rate_sd = matched(*rate_prior)
    share_mean, share_sd = matched(*share_prior)
    rate = axis(rate_mean, rate_sd, 241)
    solids = axis(0.0, solids_sd, 241)
    share = axis(share_mean, share_sd, 601)
    log_rate = norm.logpdf(rate, rate_mean, rate_sd)
    for value, error in cans:
        log_rate = log_rate + log_likelihood(rate, value, error)
    log_solids = norm.logpdf(solids, 0.0, solids_sd)
    both = log_rate[:, None] + log_solids[None, :]
    total = rate[:, None] + solids[None, :]
    log_density = []
    for at in share:
        log_joint = both + norm.logpdf(at, share_mean, share_sd)
        for value, error in cards:
            log_joint = log_joint + log_likelihood(total + at, value, error)
        top = log_joint.max()
        log_density.append(top + np.log(np.exp(log_joint - top).sum()))
    # A finer grid for the three points.
    fine = np.linspace(share[0], share[-1], 60001)
    return points_of(fine, CubicSpline(share, log_density)(fine))


def drying(modelled, coat_sd, readings):
    """Factor of the next coat: what stays the same and its own difference, summed over both."""
    total = np.log(modelled[2] / modelled[0]) / (norm.ppf(0.9) - norm.ppf(0.1))
    same_sd = np.sqrt(total**2 - coat_sd**2)
    same = axis(0.0, same_sd, 4001)
    own = axis(0.0, coat_sd, 801)
    weights = norm.pdf(own, 0.0, coat_sd)
    log_same = norm.logpdf(same, 0.0, same_sd)
    for minutes, thumb_sd in readings:
        ratio = np.log(minutes / modelled[1])
        of_coats = norm.pdf(ratio - same[:, None] - own[None, :], 0.0, thumb_sd)
        log_same = log_same + np.log((of_coats * weights).sum(axis=1) + 1e-300)
    density = np.exp(log_same - log_same.max())
    step = same[1] - same[0]
    # Below a factor: the next coat's own difference is below what is left.
    grid = np.linspace(-3.0, 3.0, 6001)
    below = np.array([(density * norm.cdf((at - same) / coat_sd)).sum() for at in grid]) * step
    return np.exp(np.interp(SHARES, below / below[-1], grid))


GLOSS = (0.6, 0.9, 1.3)
CONE = (9.0, 12.5, 18.0)
STAYS = (0.55, 0.70, 0.85)

CASES = [
    ("can", GLOSS, None, None, [(0.95, 0.067)], []),
    ("can", GLOSS, None, None, [(1.28, 0.067)], []),
    ("can", GLOSS, None, None, [(0.62, 0.12)], []),
    ("can", GLOSS, None, None, [(1.10, 0.067), (1.22, 0.05)], []),
    ("can", (0.4, 0.7, 1.4), None, None, [(0.9, 0.2), (1.0, 0.067), (0.85, 0.1)], []),
    ("can", (0.2, 0.25, 0.9), None, None, [(0.5, 0.06)], []),
    ("cone", None, CONE, None, [(12.0, 0.06)], []),
    ("cone", None, CONE, None, [(16.5, 0.08)], []),
    ("cone", None, CONE, None, [(10.0, 0.06), (10.8, 0.07)], []),
    ("cone", None, CONE, None, [(9.5, 0.06), (11.0, 0.06), (10.1, 0.06), (10.4, 0.09)], []),
    ("transfer", GLOSS, STAYS, 0.12, [], [(0.60, 0.14)]),
    ("transfer", GLOSS, STAYS, 0.12, [(0.95, 0.067)], [(0.70, 0.14)]),
    ("transfer", GLOSS, STAYS, 0.10, [(1.10, 0.067), (1.05, 0.067)], [(0.55, 0.14), (0.60, 0.14)]),
    ("transfer", GLOSS, STAYS, 0.20, [(0.80, 0.067)], [(0.75, 0.10), (0.80, 0.12), (0.70, 0.14)]),
    ("transfer", (0.5, 1.0, 1.5), (0.4, 0.7, 0.9), 0.05, [(1.2, 0.05)], [(1.05, 0.08)]),
    ("drying", None, (4.0, 8.0, 16.0), 0.2, [(10.0, 0.2)], []),
    ("drying", None, (1.2, 2.3, 4.6), 0.2, [(4.0, 0.26), (3.5, 0.24), (4.4, 0.23)], []),
    ("drying", None, (9.0, 16.8, 30.0), 0.2, [(12.0, 0.2), (15.0, 0.2), (11.0, 0.2)], []),
    ("drying", None, (5.0, 10.0, 26.0), 0.1, [(18.0, 0.2), (9.0, 0.2)], []),
    ("drying", None, (3.0, 7.0, 13.0), 0.3, [(7.0, 0.25), (6.0, 0.2), (9.0, 0.2), (8.0, 0.2), (7.5, 0.2)], []),
]


def solve(case):
    word, rate, prior, other_sd, first, second = case
    if word == "can":
        return one_unknown(rate, first)
    if word == "cone":
        return one_unknown(prior, first)
    if word == "transfer":
        return transfer(rate, prior, other_sd, first, second)
    return drying(prior, other_sd, first)


def written(readings):
    return " ".join(f"{value}:{error}" for value, error in readings)


def main():
    with open(HERE / "measure_updates.csv", "w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        head = "case,word,rate,prior,other_sd,readings,cards,p10,p50,p90"
        table.writerow(head.split(","))
        for number, case in enumerate(CASES, 1):
            word, rate, prior, other_sd, first, second = case
            three = ["" if triple is None else " ".join(map(str, triple)) for triple in (rate, prior)]
            points = [f"{point:.8g}" for point in solve(case)]
            other = "" if other_sd is None else other_sd
            table.writerow([number, word, *three, other, written(first), written(second), *points])


if __name__ == "__main__":
    main()
