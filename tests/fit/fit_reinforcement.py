#!/usr/bin/env python3
"""Height of a bead on plate: least squares of ln h in ln A, ln U and ln v on tests/published/bead_heights.csv, held
against the constants of data/limits.toml, and against itself: fitted on one half of the beads, tried on the other.

usage: fit_reinforcement.py        needs Python 3.11, nothing else

h mm, A = efficiency x section of a 1.0 mm wire x feed / travel (mm2), U V, v mm/s. Beads more than half a logarithm off
the fit (a bead of 0.8 mm where its twin has 2.3 mm) are left out and counted.
"""
import csv
import math
import pathlib
import tomllib

HERE = pathlib.Path(__file__).resolve().parent
LIMITS = tomllib.loads((HERE / "../../data/limits.toml").read_text())["limits"]
FAMILIES = tomllib.loads((HERE / "../../data/wire_families.toml").read_text())["wire_family"]
EFFICIENCY = next(f for f in FAMILIES if f["id"] == "carbon-steel")["deposition_efficiency"]["value"]
KEYS = ("bead_height_log_mm", "bead_height_area_exponent", "bead_height_voltage_exponent",
        "bead_height_travel_exponent")


def solve(a, b):
    """a x = b by elimination with pivoting; small and regular."""
    n = len(b)
    m = [row[:] + [y] for row, y in zip(a, b)]
    for i in range(n):
        p = max(range(i, n), key=lambda k: abs(m[k][i]))
        m[i], m[p] = m[p], m[i]
        for k in range(i + 1, n):
            q = m[k][i] / m[i][i]
            m[k] = [x - q * y for x, y in zip(m[k], m[i])]
    x = [0.0] * n
    for i in reversed(range(n)):
        x[i] = (m[i][n] - sum(m[i][j] * x[j] for j in range(i + 1, n))) / m[i][i]
    return x


def fit(points):
    n = len(points[0][0])
    a = [[sum(x[i] * x[j] for x, _ in points) for j in range(n)] for i in range(n)]
    return solve(a, [sum(x[i] * y for x, y in points) for i in range(n)])


def errors(points, b):
    return [y - sum(p * q for p, q in zip(x, b)) for x, y in points]


def words(e):
    mean = sum(e) / len(e)
    sd = math.sqrt(sum((x - mean) ** 2 for x in e) / len(e))
    rank = sorted(abs(x) for x in e)[math.ceil(0.9 * len(e)) - 1]
    return f"{len(e)} beads, mean {100 * mean:+.1f} %, SD {100 * sd:.1f} %, 90 % within {100 * rank:.1f} %"


lines = (HERE / "../published/bead_heights.csv").read_text().splitlines()
points = []
for row in csv.DictReader(line for line in lines if not line.startswith("#")):
    feed, volts, travel, height = (float(row[k]) for k in ("wire_feed_m_per_min", "voltage_V", "travel_mm_per_s",
                                                           "height_mm"))
    area = EFFICIENCY * math.pi / 4 * feed * 1000 / 60 / travel
    points.append(([1.0, math.log(area), math.log(volts), math.log(travel)], math.log(height)))
first = fit(points)
kept = [p for p, e in zip(points, errors(points, first)) if abs(e) < 0.5]
print(f"{len(points)} beads, {len(points) - len(kept)} left out")
data = [LIMITS[k]["value"] for k in KEYS]
show = lambda b: ", ".join(f"{x:+.3f}" for x in b)
print("data/limits.toml   ", show(data), "|", words(errors(kept, data)))
best = fit(kept)
print("fitted on all      ", show(best), "|", words(errors(kept, best)))
for half in (0, 1):
    b = fit(kept[half::2])
    print("one half, the other", show(b), "|", words(errors(kept[1 - half::2], b)))
