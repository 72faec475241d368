#!/usr/bin/env python3
"""Which tests notice a constant that is 10 % off.

    python3 tests/reference/constants.py          draws 20 constants, changes each in place, runs the tests, puts it back
    python3 tests/reference/constants.py --green  the same without a first run as it is: the tests are known to pass
    python3 tests/reference/constants.py --list   only says which they are

Five each of profiles/rules.toml, profiles/model.toml, profiles/substances.toml and the numbers in the kernels, drawn with
the seed below from all there are, in the order of the files. Every number of a figure is changed (a band keeps its
order). Recorded outputs do not count as noticing: tests of the program as a whole and its snapshots are left out. Needs
cargo-nextest; takes one to three minutes a constant. The table in DEVELOPERS.md is its output.
"""

import os
import random
import re
import subprocess
import sys
from pathlib import Path

SEED = 20261125
EACH = 5
ROOT = Path(__file__).resolve().parents[2]
KERNELS = ["air", "estimate", "film", "page", "solve", "spray", "vapour"]
NUMBER = r"\d[\d_]*\.?\d*(?:e-?\d+)?"
# Words of a source note, not figures; and what is told by a rule of its own to be whole.
COUNTS = {"exact_order_layers", "dusting_coats_max", "builds", "builds_gloss_smooth", "overdue_most", "finish_step",
          "loose_work_steps", "yellowing_steps", "hazard_steps"}
# What people read, not what is computed with.
SHOWN = {"antoine_range_c", "uel_vol_pct", "hansen_mpa05", "lel_vol_pct", "limits", "relative_evaporation_rate"}
LEFT_OUT = "not (test(/^cli::/) | test(/^fuzz::/) | test(/^damage::/) | test(/^live::/) | test(/snapshot/) | test(/batch/) | test(/^store::/) | test(/^report::/) | test(times_at_a_hundred_points))"


def profile(name):
    """(file, start, end, label) of the numbers behind each `key = …`."""
    path = ROOT / "profiles" / name
    found, place, section = [], 0, ""
    for line in path.read_text().splitlines(keepends=True):
        if line.startswith("["):
            section = line.strip().strip("[]")
        shape = re.match(r"(\w+) = (?:\{ value = )?(\[[^\]\"]*\]|" + NUMBER + r")(?=[ ,\n}])", line)
        if shape and shape[1] not in COUNTS | SHOWN and ".basis" not in section and re.search("[1-9]", shape[2]):
            found.append((path, place + shape.start(2), place + shape.end(2), f"{section}.{shape[1]}"))
        place += len(line.encode("utf-8").decode("utf-8"))
    return found


def kernels():
    """Numbers of two digits or more in the code of the models, without tests and comments."""
    found = []
    for room in KERNELS:
        for path in sorted((ROOT / "src" / room).rglob("*.rs")):
            if path.name in ("samples.rs", "tests.rs"):
                continue
            place = 0
            for number, line in enumerate(path.read_text().splitlines(keepends=True), 1):
                if line.startswith("#[cfg(test)]"):
                    break
                code = line.split("//")[0]
                for shape in re.finditer(r"(?<![\w.\"])" + NUMBER + r"(?![\w\"])", code):
                    digits = re.sub(r"e.*|\D", "", shape[0]).lstrip("0")
                    if "." in shape[0] and len(digits.rstrip("0")) >= 2 and "powi" not in code:
                        label = f"{path.relative_to(ROOT)}: {shape[0]} in `{code.strip()[:60]}`"
                        found.append((path, place + shape.start(), place + shape.end(), label))
                place += len(line)
    return found


def run():
    """The tests that fail, or None where the code no longer builds or the profiles no longer load."""
    done = subprocess.run(["cargo", "nextest", "run", "--lib", "--test", "all", "--no-fail-fast", "-E", LEFT_OUT],
                          cwd=ROOT, capture_output=True, text=True,
                          env=os.environ | {"CARGO_PROFILE_TEST_OPT_LEVEL": "0", "PROPTEST_CASES": "32"})
    said = done.stdout + done.stderr
    if "Summary" not in said:
        sys.exit(said[-3000:])
    return sorted(set(re.findall(r"^ +(?:FAIL|TIMEOUT|SIG\w+) \[.*?\] (?:\(.*?\) )?coatbell(?:::all)? (\S+)", said, re.M)))


def main():
    dice = random.Random(SEED)
    drawn = []
    for pool in (profile("rules.toml"), profile("model.toml"), profile("substances.toml"), kernels()):
        drawn += dice.sample(pool, EACH)
    if "--list" in sys.argv:
        print("\n".join(label for *_, label in drawn))
        return
    before = set() if "--green" in sys.argv else set(run())
    if before:
        print(f"fail unchanged: {' '.join(sorted(before))}", flush=True)
    for path, start, end, label in drawn:
        text = path.read_text()
        changed = re.sub(NUMBER, lambda number: f"{float(number[0].replace('_', '')) * 1.1:.6g}", text[start:end])
        if path.suffix == ".rs" and "." not in changed and "e" not in changed:
            changed += ".0"
        try:
            path.write_text(text[:start] + changed + text[end:])
            noticed = [test for test in run() if test not in before]
        finally:
            path.write_text(text)
        print(f"| {label} | {text[start:end]} -> {changed} | {len(noticed)} | {' '.join(noticed[:4]) or 'none'} |", flush=True)


main()
