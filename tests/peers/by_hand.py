#!/usr/bin/env python3
"""Works the designs in tests/cases out a second time, from the written model alone.

Independent of the Rust code: it reads the numbers of the design files with a reader of its own
and the tables in assets/data, and stores what the report should say beside each design as
NAME.expected.json. The Rust check compares; it does not need Python.

    python3 tests/peers/by_hand.py            writes the expected files
    python3 tests/peers/by_hand.py --check    says whether they are up to date

Formulas: saponification value as defined in ISO 3657; calculated SV and IV as in AOCS Cd 3a-94
and Cd 1c-85 with exact molar masses; total fatty matter as in ISO 685; crystallisation of NaOH
after Wang et al. 2008 (digitised); titre as fitted to Simmons & Appleton 1908; the scores are
weighted sums with the weights of assets/data/weights.csv.
"""

import csv
import json
import math
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
CASES = HERE.parent / "cases"
DATA = HERE.parent.parent / "assets" / "data"

# g/mol, as the model writes them
NAOH, KOH, GLYCEROL, IODINE = 39.997, 56.105, 92.094, 126.90447
GLYCERYL = 38.049
WEIGHT = {"C": 12.011, "H": 1.008, "O": 15.999}

# What a design file may leave out
DEFAULTS = {
    "name": "",
    "style": "everyday handmade",
    "superfat": 5.0,
    "water": ("LyeConcentration", 31.0),
    "size": ("FatMass", 500.0),
    "bars": 6,
    "alkali": {},
    "process": {},
}
ALKALI = {"koh_share": 0.0, "naoh_purity": 99.0, "koh_purity": 90.0}
ROOM = 20.0


# ---- reading design files -------------------------------------------------------------------

TOKEN = re.compile(r'\s+|//[^\n]*|("(?:[^"\\]|\\.)*"|[A-Za-z_][A-Za-z0-9_]*|[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?|[()\[\],:])')


def tokens(text):
    at = 0
    while at < len(text):
        match = TOKEN.match(text, at)
        if not match:
            raise SystemExit(f"cannot read {text[at:at + 20]!r}")
        at = match.end()
        if match.group(1):
            yield match.group(1)


def value(stream):
    """A number, text, list, struct (dict) or variant (name, content)."""
    token = stream.pop(0)
    if token == "[":
        items = []
        while stream[0] != "]":
            items.append(value(stream))
            if stream[0] == ",":
                stream.pop(0)
        stream.pop(0)
        return items
    if token == "(":
        fields = {}
        while stream[0] != ")":
            if len(stream) > 1 and stream[1] == ":":
                name = stream.pop(0)
                stream.pop(0)
            else:
                name = len(fields)
            fields[name] = value(stream)
            if stream[0] == ",":
                stream.pop(0)
        stream.pop(0)
        # One bare value is the content of a variant.
        return fields[0] if list(fields) == [0] else fields
    if token.startswith('"'):
        return json.loads(token)
    if token in ("true", "false"):
        return token == "true"
    if token[0].isalpha():
        if stream and stream[0] == "(":
            return (token, value(stream))
        return (token, None)
    return float(token)


def read_design(path):
    stream = list(tokens(path.read_text(encoding="utf-8")))
    design = dict(DEFAULTS)
    design.update(value(stream))
    assert not stream, f"{path}: something follows the design"
    design["alkali"] = {**ALKALI, **design["alkali"]}
    return design


# ---- tables ---------------------------------------------------------------------------------

def table(name):
    with open(DATA / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def molar_mass(formula):
    return math.fsum(WEIGHT[a] * int(n) for a, n in re.findall(r"([CHO])(\d+)", formula))


ACIDS = {r["acid"]: {"M": molar_mass(r["formula"]), "bonds": int(r["double_bonds"])} for r in table("acids.csv")}
WEIGHTS = {r["acid"]: {k: float(v) for k, v in r.items() if k != "acid"} for r in table("weights.csv")}
PROFILES = {}
for row in table("profiles.csv"):
    PROFILES.setdefault(row["fat"], {})[row["acid"]] = float(row["typical_pct"]) / 100.0


def middle(row, key):
    low, high = row[key.format("min")], row[key.format("max")]
    return (float(low) + float(high)) / 2.0 if low else None


class Fat:
    def __init__(self, row):
        self.id, self.kind = row["fat"], row["kind"]
        self.sv = middle(row, "sv_{}")
        self.unsaponifiable = (middle(row, "unsaponifiable_{}_g_per_kg") or 0.0) / 1000.0
        self.ester = float(row["ester_molar_mass_g_per_mol"] or 0.0)
        self.profile = PROFILES.get(self.id, {})

    def acid_mass(self):
        """Harmonic mean molar mass of the acids."""
        mass = math.fsum(self.profile.values())
        moles = math.fsum(w / ACIDS[a]["M"] for a, w in self.profile.items())
        return mass / moles

    def calculated_sv(self):
        if self.kind == "triglyceride":
            return 3000.0 * KOH / (3.0 * self.acid_mass() + GLYCERYL) * (1.0 - self.unsaponifiable)
        if self.kind == "free acid":
            return 1000.0 * KOH / self.acid_mass()
        return 1000.0 * KOH / self.ester

    def calculated_iv(self):
        def of(acid, molecules, molecule):
            return 100.0 * molecules * 2.0 * IODINE * ACIDS[acid]["bonds"] / molecule

        if self.kind == "triglyceride":
            total = math.fsum(
                w * of(a, 3.0, 3.0 * ACIDS[a]["M"] + GLYCERYL) for a, w in self.profile.items()
            )
            return total * (1.0 - self.unsaponifiable)
        if self.kind == "free acid":
            return math.fsum(w * of(a, 1.0, ACIDS[a]["M"]) for a, w in self.profile.items())
        return 2.0 * (2.0 * IODINE) / self.ester * 100.0

    def glycerol(self, sv):
        return sv / (1000.0 * KOH) / 3.0 * GLYCEROL if self.kind == "triglyceride" else 0.0

    def fatty_matter(self, sv):
        if self.kind == "triglyceride":
            return 1.0 - sv / (1000.0 * KOH) * GLYCERYL / 3.0
        if self.kind == "free acid":
            return 1.0
        if self.kind == "wax ester":
            return sv / (1000.0 * KOH) * self.acid_mass()
        return None


FATS = {r["fat"]: Fat(r) for r in table("fats.csv")}


# ---- the blend ------------------------------------------------------------------------------

class Blend:
    """Acids of the fats that have a profile, scaled to 1."""

    def __init__(self, parts):
        known = [(FATS[f], w) for f, w in parts if FATS[f].profile and w > 0.0]
        total = math.fsum(w for _, w in parts)
        self.mass = math.fsum(w for _, w in known)
        self.unknown = 1.0 - self.mass / total
        self.acids = {}
        for fat, w in known:
            for acid, share in fat.profile.items():
                self.acids[acid] = self.acids.get(acid, 0.0) + w / self.mass * share

        def mean(figure):
            return math.fsum(w * figure(f) for f, w in known) / self.mass

        self.unsaponifiable = mean(lambda f: f.unsaponifiable)
        self.sv = mean(Fat.calculated_sv)
        self.iv = mean(Fat.calculated_iv)

    def scores(self, free_fat):
        def summed(weight):
            return math.fsum(w * weight(a) for a, w in self.acids.items())

        scores = {
            k: 100.0 * summed(lambda a: WEIGHTS[a][k])
            for k in ("hardness", "cleansing", "conditioning", "lather_volume", "lather_persistence")
        }
        extra = 100.0 * (free_fat + self.unsaponifiable)
        scores["conditioning"] = min(100.0, scores["conditioning"] + extra)
        scores["wear"] = 100.0 * summed(lambda a: 1.0 / (1.0 + math.exp((WEIGHTS[a]["krafft_c"] - 35.0) / 10.0)))
        scores["keeping"] = summed(lambda a: WEIGHTS[a]["oxidation"])
        return scores

    def titre(self):
        """Liquidus of the saturated acids in an ideal melt, put on the scale of printed titres."""
        fusion = {
            "8:0": (16.5, 21.4),
            "10:0": (31.5, 27.8),
            "12:0": (43.8, 36.3),
            "14:0": (54.2, 45.1),
            "16:0": (62.5, 53.7),
            "18:0": (69.3, 61.2),
        }
        moles = {a: w / ACIDS[a]["M"] for a, w in self.acids.items()}
        total = math.fsum(moles.values())
        kelvin = [
            1.0 / (1.0 / (melting + 273.15) - 8.314462618 * math.log(moles[a] / total) / (1000.0 * heat))
            for a, (melting, heat) in fusion.items()
            if moles.get(a, 0.0) > 0.0
        ]
        return -11.68 + 1.157 * (max(kelvin) - 273.15) if kelvin else None


def reference_soaps(style):
    soaps = {}
    for row in table("styles.csv"):
        if row["style"] == style:
            soaps.setdefault(row["reference_soap"], []).append((row["fat"], float(row["share_pct"])))
    return [Blend(parts) for parts in soaps.values()]


def place(key, score, low, high):
    decimals = 100.0 if key == "keeping" else 1.0
    shown, low, high = (math.floor(x * decimals + 0.5) for x in (score, low, high))
    return "below" if shown < low else "above" if shown > high else "inside"


CURVE = [
    (10, -9.5), (18.7, -28), (25, -17), (28, -3), (30, 2), (33.3, 8.5), (35, 11), (38, 15), (39.5, 15.7),
    (45.6, 6), (50, 11.5), (51.4, 12.5), (53, 22), (55, 32), (58, 46), (62, 55), (70, 64),
]


def crystallises_below(percent):
    for (x0, y0), (x1, y1) in zip(CURVE, CURVE[1:]):
        if x0 <= percent <= x1:
            return y0 + (y1 - y0) * (percent - x0) / (x1 - x0)
    return None


# ---- one design -----------------------------------------------------------------------------

def expected(design):
    kind, fat_mass = design["size"]
    assert kind == "FatMass"
    lines = []
    for line in design["fats"]:
        fat = FATS[line["fat"]]
        supplier = line.get("supplier")
        sv = supplier[1]["sv"] if supplier and supplier[0] == "Some" else fat.sv
        lines.append((fat, line["share"], fat_mass * line["share"] / 100.0, sv))
    fats = math.fsum(m for _, _, m, _ in lines)

    alkali = design["alkali"]
    superfat = design["superfat"]
    moles = math.fsum(m * sv for _, _, m, sv in lines) / 1000.0 / KOH * (1.0 - superfat / 100.0)
    pure_koh = moles * alkali["koh_share"] / 100.0 * KOH
    pure_naoh = moles * (1.0 - alkali["koh_share"] / 100.0) * NAOH
    naoh = pure_naoh / (alkali["naoh_purity"] / 100.0)
    koh = pure_koh / (alkali["koh_purity"] / 100.0)
    pure = pure_naoh + pure_koh

    rule, number = design["water"]
    water = {
        "LyeConcentration": lambda: pure * (100.0 / number - 1.0),
        "WaterToAlkali": lambda: pure * number,
        "PercentOfFats": lambda: fats * number / 100.0,
    }[rule]()
    to_weigh = water - (koh - pure_koh)
    batter = fats + naoh + koh + to_weigh
    concentration = 100.0 * pure / (pure + water)
    free_fat = max(superfat, 0.0)
    saponified = 1.0 - free_fat / 100.0
    bars = int(design["bars"])

    matter = [m * fat.fatty_matter(sv) if fat.fatty_matter(sv) is not None else None for fat, _, m, sv in lines]
    blend = Blend([(fat.id, share) for fat, share, _, _ in lines])
    known = blend.unknown <= 0.10
    scores = blend.scores(free_fat / 100.0) if known else {}
    soaps = [soap.scores(free_fat / 100.0) for soap in reference_soaps(design["style"])]
    estimates = {}
    for key in ("hardness", "cleansing", "conditioning", "lather_volume", "lather_persistence", "wear", "keeping"):
        score = scores.get(key)
        low, high = (end((s[key] for s in soaps), default=None) if known else None for end in (min, max))
        word = place(key, score, low, high) if known and soaps else None
        estimates[key] = {"value": score, "range_low": low, "range_high": high, "place": word}

    below = crystallises_below(concentration) if koh == 0.0 else None
    dissolving = pure_naoh + pure_koh * (1.0 - 0.53) / 0.53
    total_share = math.fsum(share for _, share, _, _ in lines)
    cautions = {
        "shares-not-100": abs(total_share - 100.0) > 1e-6,
        "lye-heavy": superfat <= 0.0,
        "jug-too-strong": to_weigh < dissolving,
        "concentration-high": to_weigh >= dissolving and concentration > 45.0,
        "concentration-low": concentration < 22.0,
        "jug-crystallises": below is not None and below > ROOM,
        "free-fat-high": free_fat > 12.0,
        "keeping-above-range": estimates["keeping"]["place"] == "above",
        "estimates-unknown": not known,
        "no-profile": known and blend.unknown > 1e-12,
        "style-unknown": not soaps,
    }
    levels = {
        "shares-not-100": "stop", "lye-heavy": "stop", "jug-too-strong": "stop", "concentration-high": "care",
        "concentration-low": "care", "jug-crystallises": "care", "free-fat-high": "care",
        "keeping-above-range": "note", "estimates-unknown": "care", "no-profile": "note", "style-unknown": "note",
    }
    return {
        "name": design["name"],
        "format": 1,
        "batch": {
            "fats_g": fats,
            "naoh_g": naoh,
            "koh_g": koh,
            "water_total_g": water,
            "water_to_weigh_g": to_weigh,
            "lye_concentration_pct": concentration,
            "superfat_pct": superfat,
            "free_fat_pct": free_fat,
            "batter_g": batter,
            "bars": bars,
            "bar_fresh_g": batter / bars,
            "glycerol_g": saponified * math.fsum(m * fat.glycerol(sv) for fat, _, m, sv in lines),
        },
        "fats": [{"fat": fat.id, "share_pct": share, "mass_g": m} for fat, share, m, _ in lines],
        "jug": {"concentration_pct": concentration, "crystallises_below_c": below},
        "chemistry": {
            "saponification_value": math.fsum(m * sv for _, _, m, sv in lines) / fats,
            "saponification_value_calculated": blend.sv if known else None,
            "iodine_value": blend.iv if known else None,
            "titre_c": blend.titre() if known else None,
            "tfm_fresh_pct": None if None in matter else 100.0 * math.fsum(matter) / batter,
        },
        "acids_pct": {a: 100.0 * w for a, w in blend.acids.items() if w > 0.0},
        "estimates": estimates,
        "cautions": {code: levels[code] if said else None for code, said in cautions.items()},
    }


def main():
    stale = []
    for path in sorted(CASES.glob("*.barwright")):
        text = json.dumps(expected(read_design(path)), indent=1, ensure_ascii=False) + "\n"
        target = path.with_suffix(".expected.json")
        if "--check" in sys.argv[1:]:
            if not target.exists() or target.read_text(encoding="utf-8") != text:
                stale.append(target.name)
        else:
            target.write_text(text, encoding="utf-8")
    if stale:
        raise SystemExit("out of date: " + ", ".join(stale))


main()
