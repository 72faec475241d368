"""Every hour of year.csv from which a run of RUN minutes stays within the rules, by brute force and sharing nothing with
the program: each row of each run is looked at afresh. Writes starts.csv.

    python starts.py RUN < year.csv > starts.csv

Limits, as the rules state them: at most 75 % humidity, 15 to 35 °C, at least 3 K over the dew point, outdoors at most
5 m/s of wind. Blush is left out: the comparison takes a sealer that never reaches the limit for it.
Saturation pressure over water: Hyland and Wexler 1983, as printed in ASHRAE Fundamentals 2009, chapter 1, equation 6.
Dew point by bisection of the same. A garage lags by 6 h (first-order lag, the outdoor temperature constant between
rows, beginning at the first row's); a heated room has 20 °C; both have the vapour pressure of the weather.
"""

import csv
import datetime
import math
import sys

RUN_S = float(sys.argv[1]) * 60.0


def saturation_pa(t):
    k = t + 273.15
    return math.exp(
        -5.8002206e3 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k**2 - 1.4452093e-8 * k**3 + 6.5459673 * math.log(k)
    )


def dew_point(pressure):
    low, high = -80.0, 60.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_pa(middle) < pressure else (low, middle)
    return (low + high) / 2


rows = []
for row in csv.DictReader(line for line in sys.stdin if not line.startswith("#")):
    at = datetime.datetime.fromisoformat(row["time"]).timestamp()
    rows.append((at, float(row["temperature (C)"]), float(row["humidity (%)"]) / 100.0, float(row["wind (m/s)"])))


def inside(mode):
    garage = rows[0][1]
    for n, (at, t, rh, wind) in enumerate(rows):
        if n:
            before = rows[n - 1]
            garage = before[1] + (garage - before[1]) * math.exp(-(at - before[0]) / 21600.0)
        if mode == "outdoors":
            yield t, rh, wind
        else:
            here = garage if mode == "garage" else 20.0
            yield here, min(1.0, rh * saturation_pa(t) / saturation_pa(here)), 0.0


def allowed(t, rh, wind):
    pressure = max(rh, 1e-6) * saturation_pa(t)
    return rh <= 0.75 and 15.0 <= t <= 35.0 and t - dew_point(pressure) >= 3.0 and wind <= 5.0


print("mode,run_min,starts,hours")
for mode in ("outdoors", "garage", "heated"):
    air = list(inside(mode))
    starts = []
    for first in range(len(rows)):
        end = rows[first][0] + RUN_S
        for row in range(first, len(rows)):
            if not allowed(*air[row]):
                break
            if rows[row][0] >= end:
                starts.append(first)
                break
    # As runs of consecutive hours: first-last.
    runs = []
    for start in starts:
        if runs and runs[-1][1] + 1 == start:
            runs[-1][1] = start
        else:
            runs.append([start, start])
    text = " ".join(f"{a}-{b}" for a, b in runs)
    print(f"{mode},{sys.argv[1]},{len(starts)},{text}")
