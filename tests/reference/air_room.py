"""Five coats with evaporating films in a room with a near field, integrated numerically.

Writes air_room.csv: time in s, concentration at the face and in the room in g/m3, at 200 moments.
Needs numpy and scipy. Run: python3 air_room.py > air_room.csv
"""
import numpy as np
from scipy.integrate import solve_ivp

VOLUME, FLOW_M3_H, MIXING = 22.8, 68.4, 3.0
RADIUS, SPEED_M_MIN = 0.8, 6.0
NEAR = 2 / 3 * np.pi * RADIUS**3
FAR = VOLUME - NEAR
BETA = np.pi * RADIUS**2 * SPEED_M_MIN / 60
FLOW = FLOW_M3_H / MIXING / 3600

COATS = [0.0, 900.0, 1920.0, 2820.0, 3900.0]
SPRAY_S = [14.0, 9.0, 9.0, 10.0, 12.0]
SPRAYED_G = [3.1, 4.4, 4.4, 4.6, 5.0]
# A film that dries exponentially, and one given in pieces: (from s, to s, g) after the coat begins.
FILM_G, FILM_PER_S = 1.2, 1 / 210
PIECES = [(14.0, 60.0, 0.50), (60.0, 300.0, 0.42), (300.0, 1500.0, 0.31), (1500.0, 9000.0, 0.12)]


def rate(t):
    total = 0.0
    for start, spray, grams in zip(COATS, SPRAY_S, SPRAYED_G):
        if start <= t < start + spray:
            total += grams / spray
        if t >= start + spray:
            total += FILM_G * FILM_PER_S * np.exp(-FILM_PER_S * (t - start - spray))
        for begin, end, mass in PIECES:
            if start + begin <= t < start + end:
                total += mass / (end - begin)
    return total


def slope(t, c, middle):
    # Steady pieces are read at the middle of the stretch, so that its ends do not matter.
    steady = rate(middle) - films(middle)
    source = steady + films(t)
    return [(source - BETA * (c[0] - c[1])) / NEAR, (BETA * (c[0] - c[1]) - FLOW * c[1]) / FAR]


def films(t):
    return sum(
        FILM_G * FILM_PER_S * np.exp(-FILM_PER_S * (t - start - spray))
        for start, spray in zip(COATS, SPRAY_S)
        if t >= start + spray
    )


moments = np.concatenate([np.linspace(5.0, 6000.0, 150), np.geomspace(6100.0, 43200.0, 50)])
cuts = {0.0, moments[-1]}
for start, spray in zip(COATS, SPRAY_S):
    cuts |= {start, start + spray}
    cuts |= {start + edge for begin, end, _ in PIECES for edge in (begin, end)}
cuts = sorted(cut for cut in cuts if cut <= moments[-1])
state = np.zeros(2)
print("t_s,near_g_m3,room_g_m3")
for begin, end in zip(cuts, cuts[1:]):
    inside = moments[(moments > begin) & (moments <= end)]
    times = np.unique(np.concatenate([inside, [end]]))
    # A film begins at the left end of a stretch, never inside it.
    middle = 0.5 * (begin + end)
    solved = solve_ivp(
        slope, (begin, end), state, "LSODA", times, args=(middle,), rtol=1e-10, atol=1e-14, max_step=(end - begin) / 4
    )
    for moment, near, room in zip(solved.t, *solved.y):
        if moment in inside:
            print(f"{moment:.6f},{near:.9e},{room:.9e}")
    state = solved.y[:, -1]
