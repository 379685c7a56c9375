#!/usr/bin/env python3
"""Writes tests/data/drying.csv: the part of the free water left in a plane sheet and in a cylinder.

Optional, outside the test command; mpmath 1.3 or 1.4 from PyPI. The Laplace transforms of the two
solutions (Crank 1975, chapters 4 and 5) are inverted numerically by Talbot's method, so neither
the series nor the roots that the program uses are used here.

    python3 tests/peers/drying_mpmath.py > tests/data/drying.csv
"""

import mpmath as mp

mp.mp.dps = 30


def sheet(t):
    """Both faces dry; t = D·time/l² with the whole thickness l = 1."""
    return 1 - mp.invertlaplace(lambda p: 2 * mp.tanh(mp.sqrt(p) / 2) / p ** mp.mpf(1.5), t, method="talbot")


def cylinder(t):
    """The side dries; t = D·time/a² with the radius a = 1."""
    def transform(p):
        q = mp.sqrt(p)
        return 2 * mp.besseli(1, q) / (p ** mp.mpf(1.5) * mp.besseli(0, q))

    return 1 - mp.invertlaplace(transform, t, method="talbot")


print("t,sheet,cylinder")
for t in ("1e-5", "1e-4", "0.001", "0.004", "0.008", "0.0099", "0.0101", "0.015", "0.02", "0.03", "0.04919",
          "0.06306", "0.1", "0.15", "0.2", "0.3", "0.5", "0.8", "1.2", "2"):
    print(t, mp.nstr(sheet(mp.mpf(t)), 14), mp.nstr(cylinder(mp.mpf(t)), 14), sep=",")
