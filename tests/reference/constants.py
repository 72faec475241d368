#!/usr/bin/env python3
"""Which tests notice a constant that is 10 % off.

    python3 tests/reference/constants.py              draws 20 constants, changes each and runs the tests
    python3 tests/reference/constants.py --second     the second draw of 20, without substances
    python3 tests/reference/constants.py --list       only says which they are
    python3 tests/reference/constants.py NAME …       the named ones instead, such as spray.exit_speed_m_s

Some each of profiles/rules.toml, profiles/model.toml, profiles/substances.toml and the numbers in the kernels: of all there
are those whose name, hashed with a seed below, comes first, so that a new figure does not change which the others are.
Every number of a figure is changed (a band keeps its order). Recorded outputs do not count as noticing: tests of the program as a whole and its snapshots are left out. A
profile is changed in a copy of the built test programs, which hold its text, a kernel in its source, which is put back.
The table in DEVELOPERS.md is its output.
"""

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

# Seed, and how many of rules, model, substances and kernels.
FIRST = (20261125, (5, 5, 5, 5))
SECOND = (20261126, (7, 7, 0, 6))
ROOT = Path(__file__).resolve().parents[2]
KERNELS = ["air", "estimate", "film", "page", "solve", "spray", "vapour"]
NUMBER = r"\d[\d_]*\.?\d*(?:e-?\d+)?"
# Words of a source note, not figures; and what is told by a rule of its own to be whole.
COUNTS = {"exact_order_layers", "dusting_coats_max", "builds", "builds_gloss_smooth", "overdue_most", "finish_step",
          "loose_work_steps", "yellowing_steps", "hazard_steps"}
# What people read, not what is computed with.
SHOWN = {"antoine_range_c", "uel_vol_pct", "hansen_mpa05", "lel_vol_pct", "limits", "relative_evaporation_rate"}
# Recorded outputs, and what knows no constants; the rest of `laws::` takes too long to run for each.
LEFT_OUT = [word for left in ("cli::", "fuzz::", "damage::", "live::", "batch", "store::", "report::", "snapshot")
            for word in ("--skip", left)]
ENVIRONMENT = os.environ | {"CARGO_PROFILE_TEST_OPT_LEVEL": "0", "PROPTEST_CASES": "32"}


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


def build():
    """The test programs: of the units, and of everything else."""
    done = subprocess.run(["cargo", "test", "--no-run", "--lib", "--test", "all", "--message-format", "json"], cwd=ROOT,
                          capture_output=True, text=True, env=ENVIRONMENT)
    messages = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    programs = [Path(message["executable"]) for message in messages if message.get("executable")]
    return [program for program in programs if program.name.startswith(("all-", "coatbell-"))]


def failing(programs):
    """The tests that fail: of the first group in which one does."""
    units, rest = sorted(programs, key=lambda program: "all-" in program.name)
    for program, group in ((rest, ["reference::"]), (units, []), (rest, ["practice::"]), (rest, ["laws::record"])):
        done = subprocess.run([program, *group, "--test-threads", "2", *LEFT_OUT], cwd=ROOT, capture_output=True,
                              text=True, env=ENVIRONMENT)
        failed = set(re.findall(r"^test (\S+) \.\.\. FAILED", done.stdout, re.M))
        if failed or "test result" not in done.stdout:
            return failed or {"does not load"}
    return set()


def changed(text):
    number = re.sub(NUMBER, lambda figure: f"{float(figure[0].replace('_', '')) * 1.1:.6g}", text)
    return number


def patched(programs, path, start, end, place):
    """Copies of the programs with another number in the profile they hold, in as many bytes."""
    whole = path.read_text()
    line_start, line_end = whole.rfind("\n", 0, start) + 1, whole.find("\n", end)
    line = whole[line_start:start] + changed(whole[start:end]) + whole[end:line_end]
    while len(line.encode()) > len(whole[line_start:line_end].encode()):
        shorter = re.sub(r" = |, (?=\d)|\{ | \}|, (?=basis)", lambda space: space[0].replace(" ", ""), line, count=1)
        if shorter == line:
            return None
        line = shorter
    line += " " * (len(whole[line_start:line_end].encode()) - len(line.encode()))
    wanted = (whole[:line_start] + line + whole[line_end:]).encode()
    copies = []
    for program in programs:
        held = program.read_bytes()
        if held.count(whole.encode()) != 1:
            sys.exit(f"{path.name} is not once in {program.name}")
        copy = program.with_name(f"{place}-{program.name}")
        copy.write_bytes(held.replace(whole.encode(), wanted))
        copy.chmod(0o755)
        copies.append(copy)
    return copies


def draw(pool, seed, count):
    return sorted(pool, key=lambda one: hashlib.sha256(f"{seed} {one[3]}".encode()).hexdigest())[:count]


def main():
    pools = [profile("rules.toml"), profile("model.toml"), profile("substances.toml"), kernels()]
    names = [word for word in sys.argv[1:] if not word.startswith("--")]
    seed, counts = SECOND if "--second" in sys.argv else FIRST
    drawn = [one for pool, count in zip(pools, counts) for one in (pool if names else draw(pool, seed, count))
             if not names or one[3] in names]
    if len(drawn) < len(names):
        sys.exit(f"not all of {' '.join(names)} are constants")
    if "--list" in sys.argv:
        print("\n".join(label for *_, label in drawn))
        return
    programs = build()
    before = failing(programs)
    if before:
        print(f"fail unchanged: {' '.join(sorted(before))}", flush=True)
    for path, start, end, label in drawn:
        text = path.read_text()
        number = changed(text[start:end])
        # Where the longer number leaves no room in the line, the programs are built anew.
        if path.suffix == ".toml":
            copies = patched(programs, path, start, end, "changed")
        else:
            copies = None
        if copies:
            noticed = failing(copies)
            for copy in copies:
                copy.unlink()
        else:
            if path.suffix == ".rs" and "." not in number and "e" not in number:
                number += ".0"
            try:
                path.write_text(text[:start] + number + text[end:])
                noticed = failing(build())
            finally:
                path.write_text(text)
                programs = build()
        noticed = sorted(noticed - before)
        print(f"| {label} | {text[start:end]} -> {number} | {len(noticed)} | {', '.join(noticed[:4]) or 'none'} |", flush=True)


if __name__ == "__main__":
    main()
