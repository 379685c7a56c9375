#!/usr/bin/env python3
"""Blend searches by general solvers on the seeded instances, beside our own bench.

Optional, outside the test command; needs numpy, cvxpy, clarabel, pyscipopt, scipy. Runs
`cargo bench -p barwright-solver --bench instances`, then cvxpy with Clarabel (shares of any size,
the front of 50 points), SCIP (five fats in whole percents, stopped at 30 s) and HiGHS by scipy (the
cheapest within hard ranges, as a check of the instances), and prints the ratios.

    python3 tests/peers/find_peers.py [seconds for SCIP]
"""

import math
import pathlib
import re
import statistics
import subprocess
import sys
import time

import cvxpy as cp
import numpy as np
import pyscipopt as scip
from scipy.optimize import linprog

ROOT = pathlib.Path(__file__).resolve().parents[2]
LIMIT = float(sys.argv[1]) if len(sys.argv) > 1 else 30.0
MASK = (1 << 64) - 1
MOLAR = [144.21, 172.26, 200.32, 228.37, 256.42, 254.41, 284.48, 282.46, 280.45, 278.43, 298.46, 312.53, 310.51,
         340.58, 338.57, 280.0]
ARCHETYPES = [
    (.12, {0: 7, 1: 6, 2: 48, 3: 18, 4: 9, 6: 3, 7: 7, 8: 2}), (.08, {3: 1, 4: 44, 6: 4, 7: 40, 8: 10}),
    (.16, {4: 26, 6: 35, 7: 34, 8: 3, 11: 1}), (.22, {4: 10, 5: 1, 6: 3, 7: 72, 8: 12, 9: 1}),
    (.22, {4: 6, 6: 4, 7: 24, 8: 64, 9: 1}), (.08, {4: 6, 6: 4, 7: 18, 8: 16, 9: 54}),
    (.03, {4: 1, 6: 1, 7: 4, 8: 4, 10: 88}), (.04, {4: 4, 6: 1, 7: 16, 8: 14, 9: 8, 12: 8, 13: 2, 14: 44}),
    (.05, {3: 3, 4: 25, 5: 3, 6: 16, 7: 42, 8: 7})]
TASKS = {"cost": (1.0, 0.0), "matching": (0.01, 1.0), "mix": (1.0, 0.2)}


class Instance:
    """The generator of tests/src/blend_instances.rs, written again."""

    def __init__(self, n, s):
        self.state = 1000 * n + s
        acids, price = [], []
        for _ in range(n):
            pick, total = self.u(), 0.0
            archetype = ARCHETYPES[-1][1]
            for probability, profile in ARCHETYPES:
                total += probability
                if pick < total:
                    archetype = profile
                    break
            v = []
            for j in range(16):
                value = archetype.get(j, 0) * math.exp(0.35 * self.n())
                if self.u() < 0.3:
                    value += 0.4 * self.u()
                v.append(value)
            v = np.array(v) * 98 / sum(v)
            price.append(math.exp(math.log(6) + 0.7 * self.n()))
            self.u(), self.u()  # saponification value and stock, which no task uses
            acids.append(v)
        self.acids, self.price = np.array(acids).T, np.array(price)
        rows = []
        for k in range(7):
            row = [[0, 0, 0.5, 1][self.k(4)] for _ in range(16)]
            if not any(row):
                row[k] = 1
            rows.append(row)
        self.indices = np.array(rows) @ self.acids
        reference = []
        while len(reference) < 6:
            i = self.k(n)
            if i not in reference:
                reference.append(i)
        w = np.zeros(n)
        w[reference] = [.25, .25, .20, .15, .10, .05]
        self.banned, self.target = reference[0], self.acids @ w
        low, high = [], []
        for k in range(7):
            half = 2 + 4 * self.u()
            shift = 6 * (self.u() - 0.5)
            middle = self.indices[k] @ w + shift
            low.append(middle - half)
            high.append(middle + half)
        self.low, self.high = np.array(low), np.array(high)
        self.rho = np.array([1 + 3 * self.u() for _ in range(7)])

    def next(self):
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        return z ^ (z >> 31)

    def u(self):
        return (self.next() >> 11) * 2.0 ** -53

    def n(self):
        a, b = self.u(), self.u()
        return math.sqrt(-2 * math.log(1 - a)) * math.cos(2 * math.pi * b)

    def k(self, m):
        return math.floor(self.u() * m)

    def model(self, task, cap=None):
        of_cost, of_fit = TASKS[task]
        n = len(self.price)
        w, s = cp.Variable(n), cp.Variable(7)
        shift = cp.Parameter(value=0.0)
        aim = of_cost * self.price @ w + cp.sum(cp.multiply(self.rho, cp.square(self.indices @ w - s)))
        if of_fit:
            aim += of_fit * cp.sum_squares(self.acids @ w - self.target)
        first = np.eye(7)[0]
        rules = [cp.sum(w) == 1, w >= 0, s >= self.low + shift * first, s <= self.high + shift * first]
        if task == "matching":
            rules.append(w[self.banned] == 0)
        if cap is not None:
            rules.append(self.price @ w <= cap)
        return cp.Problem(cp.Minimize(aim), rules), w, shift

    def scip(self, task):
        of_cost, of_fit = TASKS[task]
        m = scip.Model()
        m.hideOutput()
        m.setParam("limits/time", LIMIT)
        m.setParam("limits/gap", 1e-7)
        n = len(self.price)
        count = [m.addVar(vtype="I", lb=0, ub=100) for _ in range(n)]
        used = [m.addVar(vtype="B") for _ in range(n)]
        for i in range(n):
            m.addCons(count[i] <= 100 * used[i])
            m.addCons(count[i] >= 5 * used[i])
        m.addCons(scip.quicksum(count) == 100)
        m.addCons(scip.quicksum(used) <= 5)
        if task == "matching":
            m.addCons(used[self.banned] == 0)
        # Each square has its own bound from above, which lets SCIP cut at each.
        squares = []

        def square(weight, distance):
            above = m.addVar(lb=0)
            m.addCons(distance * distance <= above)
            squares.append(weight * above)

        for k in range(7):
            s = m.addVar(lb=self.low[k], ub=self.high[k])
            d = m.addVar(lb=None)
            m.addCons(d == scip.quicksum(self.indices[k][i] / 100 * count[i] for i in range(n)) - s)
            square(self.rho[k], d)
        if of_fit:
            for j in range(16):
                d = m.addVar(lb=None)
                m.addCons(d == scip.quicksum(self.acids[j][i] / 100 * count[i] for i in range(n)) - self.target[j])
                square(of_fit, d)
        m.setObjective(scip.quicksum(of_cost * self.price[i] / 100 * count[i] for i in range(n)) + scip.quicksum(squares))
        start = time.perf_counter()
        m.optimize()
        taken = time.perf_counter() - start
        return taken, m.getStatus() in ("optimal", "gaplimit"), m.getObjVal() if m.getNSols() else math.nan

    def highs(self):
        rows = np.vstack([self.indices, -self.indices])
        return linprog(self.price, A_ub=rows, b_ub=np.concatenate([self.high, -self.low]),
                       A_eq=np.ones((1, len(self.price))), b_eq=[1.0], bounds=(0, 1), method="highs")


def bench():
    """Median seconds of each of our benches: name to time."""
    text = subprocess.run(["cargo", "bench", "-p", "barwright-solver", "--locked", "--bench", "instances"], cwd=ROOT,
                          check=True, capture_output=True, text=True).stdout
    unit = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}
    times, path = {}, []
    for line in text.splitlines():
        found = re.match(r"([│ ]*)[├╰]─ (\S+)(.*)", line)
        if not found:
            continue
        depth = len(found[1]) // 3
        path = path[:depth] + [found[2]]
        columns = [c.strip() for c in found[3].split("│")]
        if len(columns) >= 3 and columns[2]:
            value, u = columns[2].split()
            times["/".join(path)] = float(value) * unit[u]
    return times


def median_time(run, times):
    taken = []
    for k in range(times):
        start = time.perf_counter()
        run(k)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def line(what, ours, peer, note=""):
    print(f"{what:28} ours {1e3 * ours:10.4f} ms   peer {1e3 * peer:11.3f} ms   ratio {peer / ours:9.0f}  {note}",
          flush=True)


ours = bench()
for n in (60, 150):
    instance = Instance(n, 0)
    problem, w, shift = instance.model("mix")
    problem.solve(solver=cp.CLARABEL)

    def slide(k):
        shift.value = 0.05 * min(k % 20, 20 - k % 20)
        problem.solve(solver=cp.CLARABEL)

    peer = median_time(slide, 20)
    line(f"warm {n}", ours[f"warm/{n}"], peer)
    line(f"cold {n}", ours[f"cold/{n}"], peer)
    cap = cp.Parameter()
    capped, w, _ = instance.model("matching", cap)
    free, w_free, _ = instance.model("matching")
    free.solve(solver=cp.CLARABEL)
    top, bottom = float(instance.price @ w_free.value), float(np.delete(instance.price, instance.banned).min())

    def whole_front(_):
        for c in np.linspace(top, bottom + 1e-6, 50):
            cap.value = c
            capped.solve(solver=cp.CLARABEL)

    line(f"front {n}", ours[f"front_of_50/{n}"], median_time(whole_front, 2))
for n in (60, 150):
    for s in range(3):
        cheapest = Instance(n, s).highs()
        print(f"HiGHS, hard ranges, {n}/{s}: {cheapest.fun if cheapest.success else 'none'}")
        for task in TASKS:
            taken, proven, objective = Instance(n, s).scip(task)
            note = f"{objective:.7f}" + ("" if proven else ", still open: the ratio is at least this")
            line(f"{task} {n}/{s}", ours[f"{task}/{s}/{n}"], taken, note)
