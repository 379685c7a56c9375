#!/usr/bin/env python3
"""Counts in how many published comparisons each score sees the order that the source saw.

Bare arithmetic over the tables of assets/data, without the program. Writes tests/data/comparison-counts.csv:
score, property, turned round or not, evidence, twice the right pairs, pairs.
Run from the top of the project: python3 tests/peers/comparisons.py
"""
import csv
import itertools
import math


def table(name):
    with open(f"assets/data/{name}.csv", newline="") as file:
        return list(csv.DictReader(file))


PROFILES = {}
for row in table("profiles"):
    PROFILES.setdefault(row["fat"], {})[row["acid"]] = float(row["typical_pct"])
WEIGHTS = {row["acid"]: {k: float(v) for k, v in row.items() if k != "acid"} for row in table("weights")}


def composition(soap):
    if soap.startswith("acid "):
        return {soap[5:]: 1.0}
    parts = {}
    for part in soap.split(";"):
        fat, percent = part.rsplit(" ", 1)
        profile = PROFILES[fat.strip()]
        for acid, typical in profile.items():
            parts[acid] = parts.get(acid, 0.0) + float(percent) * typical / sum(profile.values())
    return {acid: part / sum(parts.values()) for acid, part in parts.items()}


def weight(score, acid):
    if score == "wear":
        return 1 / (1 + math.exp(-(35 - WEIGHTS[acid]["krafft_c"]) / 10))
    return WEIGHTS[acid]["oxidation" if score == "keeping" else score]


ROWS = table("comparisons")
ASKED = [
    ("hardness", "hardness", 1),
    ("cleansing", "harshness", 1),
    ("cleansing", "washing", 1),
    ("conditioning", "harshness", -1),
    ("lather_volume", "lather_volume", 1),
    ("lather_persistence", "lather_persistence", 1),
    ("wear", "wear", 1),
    ("keeping", "keeping", 1),
]

with open("tests/data/comparison-counts.csv", "w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["score", "property", "less", "evidence", "halves", "pairs"])
    for score, asked, sign in ASKED:
        for evidence in ["all", "measured", "worded", "proxy"]:
            halves = pairs = 0
            rows = [r for r in ROWS if r["property"] == asked and evidence in ("all", r["evidence"])]
            for a, b in itertools.combinations(rows, 2):
                seen = sign * (float(a["score"]) - float(b["score"]))
                if a["series"] != b["series"] or abs(seen) < 1e-12:
                    continue
                of = [sum(p * weight(score, acid) for acid, p in composition(r["soap"]).items()) for r in (a, b)]
                pairs += 1
                by = of[0] - of[1]
                halves += 1 if abs(by) < 1e-9 else 2 * ((by > 0) == (seen > 0))
            out.writerow([score, asked, "yes" if sign < 0 else "no", evidence, halves, pairs])
