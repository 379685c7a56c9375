#!/usr/bin/env python3
"""The lye margin of the ten-fat design of crates/core/benches/margin.rs by simulation.

Optional, outside the test command; needs numpy, and cargo for the comparison. Draws 100,000 batches
as the model says (each SV uniform in its published range, purity and weighings uniform within their
+-), prints the time, what `barwright report --json` should give within the simulation's error, and
how many times as long that takes as the bench's `margin_ten`, timed in the same run.

    python3 tests/peers/margin_numpy.py
"""

import csv
import pathlib
import re
import statistics
import subprocess
import time

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
DATA = ROOT / "assets" / "data"
BLEND = {"olive_virgin": 25, "coconut": 20, "palm": 12, "lard": 10, "shea": 8, "cocoa_butter": 6, "canola": 6,
         "castor": 5, "almond": 5, "butterfat": 3}
FATS, SUPERFAT, DIVISION, PURITY, PURITY_PM = 500.0, 0.015, 1.0, 0.99, 0.005
DRAWS = 100_000

with open(DATA / "fats.csv", encoding="utf-8", newline="") as file:
    ranges = {r["fat"]: (float(r["sv_min"]), float(r["sv_max"])) for r in csv.DictReader(file)}

mass = np.array([FATS * s / 100 for s in BLEND.values()])
low = np.array([ranges[f][0] for f in BLEND])
high = np.array([ranges[f][1] for f in BLEND])
koh = float(np.sum(mass * (low + high) / 2000))
weighed = koh * (1 - SUPERFAT) * 39.997 / 56.105 / PURITY

rng = np.random.default_rng(1)


def draw():
    masses = mass + rng.uniform(-DIVISION / 2, DIVISION / 2, (DRAWS, len(mass)))
    values = rng.uniform(low, high, (DRAWS, len(mass)))
    need = np.sum(masses * values, axis=1) / 1000
    alkali = (weighed + rng.uniform(-DIVISION / 2, DIVISION / 2, DRAWS)) * rng.uniform(
        PURITY - PURITY_PM, PURITY + PURITY_PM, DRAWS)
    superfat = 1 - alkali * 56.105 / 39.997 / need
    return np.quantile(superfat, [0.05, 0.95]) * 100, float(np.mean(superfat < 0))


def ours():
    """Median time of `margin_ten`, microseconds."""
    told = subprocess.run(["cargo", "bench", "-q", "-p", "barwright-core", "--bench", "margin", "--", "margin_ten"],
                          cwd=ROOT, capture_output=True, text=True, check=True).stdout
    # Fastest, slowest, median, mean.
    row = next(line for line in told.splitlines() if "margin_ten" in line)
    value, unit = re.findall(r"([0-9.]+) (ns|µs|ms)", row)[2]
    return float(value) * {"ns": 1e-3, "µs": 1.0, "ms": 1e3}[unit]


draw()
times = []
for _ in range(20):
    begin = time.perf_counter()
    quantiles, heavy = draw()
    times.append(time.perf_counter() - begin)
took = statistics.median(times) * 1e6
print(f"numpy {np.__version__}: {took:.0f} us for {DRAWS} draws; "
      f"5 % {quantiles[0]:.3f}, 95 % {quantiles[1]:.3f}, lye-heavy {heavy:.5f}")
margin = ours()
print(f"margin_ten: {margin:.1f} us; numpy takes {took / margin:.0f} times as long")
