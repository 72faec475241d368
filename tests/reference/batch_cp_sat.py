"""Schedules the reference problems with a general solver, CP-SAT, and writes batch_cp_sat.csv beside this file.

Needs ortools. Run: python batch_cp_sat.py [seconds a problem, 60] [workers, 2] [folder for the schedules]

The model is that of the problems (see `batch/check_schedule.py`), in whole ticks: one person, least and greatest waits
with a later resumption, changeovers right before a coat, pauses, the end of the session, the rack. The index of the air
is bounded from above by stairs, so every schedule found keeps the ceiling, and one that only just keeps it may be missed:
where air binds, the bound printed is that of the stairs and not of the problem. The dose is left out; no best-known
schedule comes near it.
"""

import csv
import json
import math
import pathlib
import sys

import ortools
from ortools.sat.python import cp_model

HERE = pathlib.Path(__file__).resolve().parent
# Parts of the ceiling that demands are counted in.
PARTS = 10_000


def index(minutes, spray, q, f, k, changes, volume):
    """Index of one coat, minutes after it begins: the box fills while it is sprayed, the film gives off the rest."""
    if minutes <= 0:
        return 0.0
    fill = f * q / spray / (changes * volume)
    if minutes <= spray:
        return fill * (1 - math.exp(-changes * minutes))
    after = minutes - spray
    left = fill * (1 - math.exp(-changes * spray)) * math.exp(-changes * after)
    film = (1 - f) * q / volume
    if abs(changes - k) < 1e-9:
        return left + film * k * after * math.exp(-changes * after)
    return left + film * k / (changes - k) * (math.exp(-k * after) - math.exp(-changes * after))


def stairs(coat, air, tick, horizon):
    """(from, to, demand) in ticks after the start: never below the index anywhere on the stretch."""
    at = lambda ticks: index(ticks * tick, coat["p"] * tick, coat["q"], coat["f"], air["k"], air["ach"] / 60, air["V"])
    steps, begin, width = [], 0, 1
    while begin < horizon:
        end = min(begin + width, horizon)
        highest = max(at(begin + (end - begin) * n / 64) for n in range(65))
        # Between two of 65 points of a smooth curve little more can hide than a 64th of its rise.
        demand = math.ceil(PARTS * (highest * 1.0005 + 1e-6))
        if demand > 1 and begin > coat["p"] and highest < 2e-3:
            end = horizon
        steps.append((begin, end, demand))
        begin = end
        width = 1 if begin < 2 * coat["p"] else max(1, (begin - coat["p"]) // 10)
    return steps


def solve(problem, seconds, workers):
    """Status, makespan, bound, starts and wall time."""
    model = cp_model.CpModel()
    pages, setup, pauses = problem["pages"], problem["setup"], problem["pauses"]
    tick = problem["tick_s"] / 60
    work = sum(coat["p"] + coat.get("lag_min", 0) for page in pages for coat in page["coats"])
    changes = max(max(row) for row in setup) * sum(len(page["coats"]) for page in pages)
    horizon = work + changes + sum(end - begin for begin, end in pauses)
    horizon += max(page["release"] + page["final_dry"] for page in pages)
    horizon += sum(coat.get("lag_resume") or 0 for page in pages for coat in page["coats"][:1])
    if problem["session_end"] is not None:
        horizon = min(horizon, problem["session_end"] + max(page["final_dry"] for page in pages))
    coats, starts = [], []
    makespan = model.new_int_var(0, horizon, "makespan")
    stays = []
    for page in pages:
        own = []
        for number, coat in enumerate(page["coats"]):
            start = model.new_int_var(page["release"], horizon, "")
            if number:
                before = page["coats"][number - 1]
                gap = start - own[-1] - before["p"]
                model.add(gap >= before["lag_min"])
                if before.get("lag_max") is not None:
                    if before.get("lag_resume") is not None:
                        late = model.new_bool_var("")
                        model.add(gap >= before["lag_resume"]).only_enforce_if(late)
                        model.add(gap <= before["lag_max"]).only_enforce_if(~late)
                    else:
                        model.add(gap <= before["lag_max"])
            own.append(start)
            coats.append((start, coat))
        starts.append(own)
        end = own[-1] + page["coats"][-1]["p"] + page["final_dry"]
        model.add(makespan >= end)
        if problem["rack_slots"] is not None:
            length = model.new_int_var(0, horizon, "")
            last = model.new_int_var(0, horizon, "")
            model.add(last == end)
            stays.append(model.new_interval_var(own[0], length, last, ""))
    if stays:
        model.add_cumulative(stays, [1] * len(stays), problem["rack_slots"])
    model.add_no_overlap([model.new_fixed_size_interval_var(start, coat["p"], "") for start, coat in coats])
    block = [0] * len(coats)
    if any(any(row) for row in setup):
        arcs = []
        for i, (_, one) in enumerate(coats):
            first = model.new_bool_var("")
            arcs += [(0, i + 1, first), (i + 1, 0, model.new_bool_var(""))]
            needed = setup[problem["initial_can"]][one["can"]]
            model.add(coats[i][0] >= needed).only_enforce_if(first)
            block[i] += needed * first
            for j, (_, other) in enumerate(coats):
                if i == j:
                    continue
                follows = model.new_bool_var("")
                arcs.append((j + 1, i + 1, follows))
                needed = setup[other["can"]][one["can"]]
                model.add(coats[i][0] >= coats[j][0] + other["p"] + needed).only_enforce_if(follows)
                block[i] += needed * follows
        model.add_circuit(arcs)
    for (start, coat), change in zip(coats, block):
        for begin, end in pauses:
            after = model.new_bool_var("")
            model.add(start - change >= end).only_enforce_if(after)
            model.add(start + coat["p"] <= begin).only_enforce_if(~after)
        if problem["session_end"] is not None:
            model.add(start + coat["p"] <= problem["session_end"])
    if problem["air"]:
        pieces, demands = [], []
        for start, coat in coats:
            for begin, end, demand in stairs(coat, problem["air"], tick, horizon):
                pieces.append(model.new_fixed_size_interval_var(start + begin, end - begin, ""))
                demands.append(demand)
        model.add_cumulative(pieces, demands, int(PARTS * problem["air"]["ceiling"]))
    model.minimize(makespan)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (
        solver.status_name(status),
        int(solver.objective_value) if found else None,
        int(math.ceil(solver.best_objective_bound - 1e-6)),
        [[solver.value(start) for start in own] for own in starts] if found else None,
        solver.wall_time,
    )


def main():
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    workers = int(sys.argv[2]) if len(sys.argv) > 2 else 2
    kept = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
    rows = []
    for path in sorted((HERE / "batch").glob("*.json")):
        problem = json.loads(path.read_text())
        status, makespan, bound, starts, took = solve(problem, seconds, workers)
        if problem["air"]:
            bound = None
            status = "FEASIBLE" if status == "OPTIMAL" else status
        rows.append([path.stem, "" if makespan is None else makespan, "" if bound is None else bound, status])
        print(*rows[-1], f"{took:.1f} s", flush=True)
        if kept and starts:
            (kept / path.name).write_text(json.dumps({"instance": problem["name"], "starts": starts}))
    with open(HERE / "batch_cp_sat.csv", "w", newline="") as file:
        file.write(f"# OR-Tools {ortools.__version__}, CP-SAT, {seconds:g} s a problem, {workers} workers, seed 1\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["problem", "makespan", "bound", "status"])
        writer.writerows(rows)


if __name__ == "__main__":
    main()
