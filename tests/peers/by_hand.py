#!/usr/bin/env python3
"""Works the designs in tests/cases out a second time, from the written model alone.

Independent of the Rust code: it reads the numbers of the design files with a reader of its own
and the tables in assets/data, and stores what the report should say beside each design as
NAME.expected.json, and the saponification values of each fat in tests/data/possible-sv.csv. The
Rust check compares; it does not need Python.

    python3 tests/peers/by_hand.py            writes the expected files
    python3 tests/peers/by_hand.py --check    says whether they are up to date

Formulas: saponification value as defined in ISO 3657; calculated SV and IV as in AOCS Cd 3a-94
and Cd 1c-85 with exact molar masses; total fatty matter as in ISO 685; crystallisation of NaOH
after Wang et al. 2008 (digitised); titre as fitted to Simmons & Appleton 1908; the scores are
weighted sums with the weights of assets/data/weights.csv. Density of lye after Laliberte & Cooper
2004 with the coefficients of 2009, of water after Kell 1975; heat of sodium lye after Olsson,
Jernqvist & Aly 1997; drying by diffusion after Crank 1975, the direct series with many terms. What neither the model nor a table gives is listed under FROM MEMORY.
"""

import copy
import csv
import json
import math
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
CASES = HERE.parent / "cases"
DATA = HERE.parent.parent / "assets" / "data"
POSSIBLE = HERE.parent / "data" / "possible-sv.csv"

# g/mol, as the model writes them
NAOH, KOH, GLYCEROL, WATER, IODINE = 39.997, 56.105, 92.094, 18.015, 126.90447
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
    "calibration": {},
    "additions": [],
    "scents": [],
    "materials": [],
    "lye_rests_on": ("Published", None),
    "allergen_list": ("Extended", None),
}
ALKALI = {"koh_share": 0.0, "naoh_purity": 99.0, "koh_purity": 90.0}
PROCESS = {
    "room_c": 20.0,
    "mix_c": 38.0,
    "fats_c": None,
    "jug_water_c": None,
    "jug_frozen": 0.0,
    "jug_bath_c": None,
    "cure_days": 28.0,
    "equilibrium_moisture": 10.0,
}
CALIBRATION = {"batter_g_per_ml": None, "jug_cooling_min": None}

# FROM MEMORY: what the batter's volume and heat also need
BATTER_C = 40.0           # the model says "about 40 C"
FAT_SLOPE = 0.00068       # g/mL that a liquid fat loses per degree
FAT_40 = 0.905            # g/mL at 40 C, fats without a figure and fat in additions
SOLIDS = 1.5              # g/mL, what is neither water nor fat in an addition that does not say
SCENT_DENSITY = 0.9       # g/mL, essential oils
IMPURITY_DENSITY = 2.5    # g/mL, what is not NaOH in sodium hydroxide
FAT_HEAT = 2.0            # kJ/kg/K, fats and what is stirred into them
MELTING = 333.6           # kJ/kg, ice
NEUTRALISATION = 55.8     # kJ per mole of acid protons
DRIED = 0.95              # what of a bar is not water at the dry end, with 5 % of water (the lightest bar)


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
    for part, usual in (("alkali", ALKALI), ("process", PROCESS), ("calibration", CALIBRATION)):
        design[part] = {**usual, **{k: option(v) for k, v in design[part].items()}}
    return design


def option(read):
    """Some(x) as x, None as None, anything else as it is."""
    return read[1] if isinstance(read, tuple) and read[0] in ("Some", "None") else read


# ---- tables ---------------------------------------------------------------------------------

def table(name):
    with open(DATA / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def molar_mass(formula):
    return math.fsum(WEIGHT[a] * int(n) for a, n in re.findall(r"([CHO])(\d+)", formula))


ACIDS = {r["acid"]: {"M": molar_mass(r["formula"]), "bonds": int(r["double_bonds"])} for r in table("acids.csv")}
WEIGHTS = {r["acid"]: {k: float(v) for k, v in r.items() if k != "acid"} for r in table("weights.csv")}
PROFILES, PUBLISHED_ACIDS = {}, {}
for row in table("profiles.csv"):
    PROFILES.setdefault(row["fat"], {})[row["acid"]] = float(row["typical_pct"]) / 100.0
    PUBLISHED_ACIDS.setdefault(row["fat"], []).append(row)


def middle(row, key):
    low, high = row[key.format("min")], row[key.format("max")]
    return (float(low) + float(high)) / 2.0 if low else None


def kell(t):
    """Density of water, g/mL (Kell 1975)."""
    above = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
    return math.fsum(c * t**i for i, c in enumerate(above)) / (1.0 + 16.879850e-3 * t) / 1000.0


def fat_density(row):
    """At 40 C, from the relative density and its basis, such as 20C/water20C."""
    relative = middle(row, "relative_density_{}")
    if relative is None:
        return FAT_40
    own, _, reference = row["relative_density_basis"].partition("/")
    numbers = [[float(n) for n in re.findall(r"[0-9.]+", part)] for part in (own, reference)]
    # Of a range of temperatures the middle; none stated counts as 20 C.
    taken = math.fsum(numbers[0]) / len(numbers[0]) if numbers[0] else 20.0
    water = kell(numbers[1][0]) if numbers[1] else 1.0
    return relative * water - FAT_SLOPE * (BATTER_C - taken)


def shares_to_100(acids):
    """Published ranges of the acids; where no shares in them sum to 100, each is widened by the same part of
    15 % of itself and 0.2, as little as will do."""

    def ranges(part):
        return [
            (
                ACIDS[a["acid"]]["M"],
                max(0.0, float(a["min_pct"]) * (1.0 - 0.15 * part) - 0.2 * part),
                float(a["max_pct"]) * (1.0 + 0.15 * part) + 0.2 * part,
            )
            for a in acids
        ]

    def sums(part):
        least, most = (math.fsum(r[i] for r in ranges(part)) for i in (1, 2))
        return least <= 100.0 + 1e-9 and most >= 100.0 - 1e-9

    if not acids or not sums(1.0):
        return None
    narrow, wide = 0.0, 0.0 if sums(0.0) else 1.0
    for _ in range(60):
        half = (narrow + wide) / 2.0
        narrow, wide = (narrow, half) if sums(half) else (half, wide)
    return ranges(wide)


def molar_mass_end(ranges, heaviest):
    """The mean molar mass if as much as may be is of the heaviest, or of the lightest acids: start from the least
    of each and fill up to 100 in that order."""
    taken = {i: least for i, (_, least, _) in enumerate(ranges)}
    for i in sorted(taken, key=lambda i: ranges[i][0], reverse=heaviest):
        taken[i] += max(0.0, min(ranges[i][2] - ranges[i][1], 100.0 - math.fsum(taken.values())))
    return 100.0 / math.fsum(share / ranges[i][0] for i, share in taken.items())


def possible_sv(row):
    """What the acids and the unsaponifiable matter allow, 0.3 % wider at each end."""
    ranges = shares_to_100(PUBLISHED_ACIDS.get(row["fat"], []))
    if ranges is None or row["kind"] not in ("triglyceride", "free acid"):
        return None
    masses = [molar_mass_end(ranges, heaviest) for heaviest in (True, False)]
    if row["kind"] == "free acid":
        low, high = (1000.0 * KOH / mass for mass in masses)
    else:
        matter = [float(row[f"unsaponifiable_{end}_g_per_kg"] or 0.0) / 1000.0 for end in ("max", "min")]
        low, high = (3000.0 * KOH / (3.0 * m + GLYCERYL) * (1.0 - u) for m, u in zip(masses, matter))
    return low * 0.997, high * 1.003


def sv_ranges(row):
    """Published, possible and used saponification values, each with two ends."""
    low, high = float(row["sv_min"]), float(row["sv_max"])
    planned = (low + high) / 2.0
    published = (low, high) if low < high else (planned * 0.985, planned * 1.015)
    possible = possible_sv(row)
    used, top = published, math.inf
    if possible and possible[1] < published[0]:
        used, top = (published[0], published[0]), published[0]
    elif possible and possible[0] <= published[1]:
        used, top = (max(published[0], possible[0]), min(published[1], possible[1])), possible[1]
        main_acids = [a for a in PUBLISHED_ACIDS[row["fat"]] if float(a["typical_pct"]) >= 5.0]
        unsure = any(a["trust"] == "from memory" or a["min_pct"] == a["max_pct"] for a in main_acids)
        # Acids of which little is known do not raise the lye: about the published middle, all that is common in it.
        if unsure and (used[0] + used[1]) / 2.0 > planned * 1.005:
            used = (2.0 * planned - used[1], used[1])
    center = (used[0] + used[1]) / 2.0
    if used[1] - used[0] < 0.02 * center:
        highest = min(1.01 * center, top)
        used = (highest - 0.02 * center, highest)
    return published, possible, tuple(math.floor(100.0 * end + 1e-6) / 100.0 for end in used)


class Fat:
    def __init__(self, row):
        self.id, self.kind = row["fat"], row["kind"]
        self.sv = middle(row, "sv_{}")
        self.published_sv, self.possible_sv, self.used_sv = sv_ranges(row)
        self.single_sv = row["sv_min"] == row["sv_max"]
        self.unsaponifiable = (middle(row, "unsaponifiable_{}_g_per_kg") or 0.0) / 1000.0
        self.ester = float(row["ester_molar_mass_g_per_mol"] or 0.0)
        self.profile = PROFILES.get(self.id, {})
        self.density_40 = fat_density(row)

    def narrows(self):
        return self.single_sv or self.used_sv != self.published_sv

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


# Acids among the additions that are fatty ones.
FATTY = {"stearic acid"}


FROZEN = {r["material"] for r in table("handling.csv") if r["of"] == "addition" and r["how"] == "freeze"}


class Addition:
    """What a gram of it is, as fractions."""

    def __init__(self, water, fat, sugars, protons, solids, uncounted, fatty=0.0, scorches=False):
        self.water, self.fat, self.sugars = water / 100.0, fat / 100.0, sugars / 100.0
        self.protons = protons          # mol/g
        self.fatty = fatty              # a fatty acid, which is a fat without its glycerol
        self.scorches = scorches        # goes into the jug frozen
        self.is_as_saved = False        # one that takes alkali like any other acid
        self.solids = solids            # g/mL
        self.uncounted = uncounted      # g NaOH per g that acids without a figure may take

    def as_any_acid(self):
        other = copy.copy(self)
        other.fatty, other.is_as_saved = 0.0, self.fatty > 0.0
        return other

    @classmethod
    def of_table(cls, row):
        def number(key):
            return float(row[key] or 0.0)

        protons = 0.0
        if row["acid"]:
            protons = number("acid_pct") / 100.0 * number("acid_protons") / number("acid_molar_mass_g_per_mol")
        uncounted = number("uncounted_acid_pct") / 100.0 * number("uncounted_naoh_g_per_g")
        return cls(
            number("water_pct"), number("fat_pct"), number("sugars_pct"), protons, number("solids_g_per_ml"), uncounted,
            number("acid_pct") / 100.0 if row["acid"] in FATTY else 0.0,
            row["addition"] in FROZEN,
        )

    @classmethod
    def of_record(cls, record):
        protons, acid = 0.0, option(record.get("acid"))
        if acid:
            protons = acid["content"] / 100.0 * acid["protons"] / acid["molar_mass"]
        uncounted = option(record.get("uncounted_acid"))
        return cls(
            record["water"],
            record.get("fat", 0.0),
            option(record.get("sugars")) or 0.0,
            protons,
            record.get("solids_g_per_ml", SOLIDS),
            uncounted["most"] / 100.0 * uncounted["naoh_g_per_g"] if uncounted else 0.0,
            acid["content"] / 100.0 if acid and acid["name"] in FATTY else 0.0,
            record["kind"][0] in ("Puree", "Milk"),
        )


ADDITIONS = {r["addition"]: Addition.of_table(r) for r in table("additions.csv")}


def numbers_of(cas):
    return [n.strip() for n in cas.split(";") if n.strip()]


LIMITS = table("limits.csv")
LIMIT_OF = {}
for limit in LIMITS:
    for number in numbers_of(limit["cas"]):
        LIMIT_OF.setdefault(number, limit)
SCENTS = {r["scent"]: {"cas": r["cas"], "constituents": []} for r in table("scents.csv")}
for row in table("constituents.csv"):
    SCENTS[row["scent"]]["constituents"].append(
        {
            "cas": row["cas"],
            "part": float(row["max_pct"]) / 100.0,
            "whole": row["whole"] == "yes",
            "memory": row["trust"] == "from memory",
        }
    )


def limited(scent):
    """Substance with a limit -> the limit, grams per gram of the scent, whether from memory.

    An oil with a limit of its own counts with all of its mass. Where a substance stands as a whole
    and by its isomers, the larger counts."""

    def limit_of(cas):
        return next((LIMIT_OF[n] for n in numbers_of(cas) if n in LIMIT_OF), None)

    itself = {"cas": scent["cas"], "part": 1.0, "whole": False, "memory": False}
    found = {}
    for part in [itself, *scent["constituents"]]:
        limit = limit_of(part["cas"])
        if limit:
            entry = found.setdefault(limit["substance"], {"limit": limit, "whole": 0.0, "sum": 0.0, "memory": False})
            entry["whole" if part["whole"] else "sum"] += part["part"]
            entry["memory"] |= part["memory"]
    return {s: (e["limit"], max(e["whole"], e["sum"]), e["memory"]) for s, e in found.items()}


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
    # What is compared is what is read: steps of five for the lather that comes, hundredths for keeping.
    step = {"keeping": 0.01, "lather_volume": 5.0}.get(key, 1.0)
    shown, low, high = (math.floor(x / step + 0.5) for x in (score, low, high))
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


# ---- lye ------------------------------------------------------------------------------------

# Laliberte 2009: apparent density's coefficients, mass fraction and temperatures it holds for
NAOH_DENSITY = (
    (319.020509469838, 528.592358475315, -0.102197896602724, 0.000350420706415566, 765.970470238438),
    0.503, 4.0, 120.0,
)
KOH_DENSITY = (
    (821.119043254761, 1043.20173374381, 0.112873330222752, 0.00124023636407386, 539.630388368877),
    0.519, 4.0, 95.0,
)


def lye_ml(naoh, koh, water, t):
    """1/rho = (1 - w)/rho_water + w/rho_apparent, for each alkali at the w of both."""
    w = (naoh + koh) / (naoh + koh + water) if naoh + koh + water else 0.0

    def apparent(c):
        return (c[0] * w + c[1]) * math.exp(1e-6 * (t + c[4]) ** 2) / (w + c[2] + c[3] * t) / 1000.0

    ml = water / kell(t)
    return ml + math.fsum(g / apparent(c[0]) for g, c in ((naoh, NAOH_DENSITY), (koh, KOH_DENSITY)) if g)


def lye_measured(naoh, koh, water, t):
    w = (naoh + koh) / (naoh + koh + water)
    return all(
        w <= most and low <= t <= high
        for g, (_, most, low, high) in ((naoh, NAOH_DENSITY), (koh, KOH_DENSITY))
        if g
    )


K = (1288.4485, -0.49649131, -4387.8908, -4.0915144, 4938.2298, 7.2887292, -1841.1890, -3.0202651)
L = (2.3087919, -9.0004252, 167.59914, -1051.6368, 3394.3378, -6115.0986, 6220.8249, -3348.8098, 743.87432)
M = (0.02302860, -0.37866056, 2.4529593, -8.2693542, 15.728833, -16.944427, 9.6254192, -2.2410628)
N = (-8.5131313, 136.52823, -875.68741, 2920.0398, -5488.2983, 5841.8034, -3278.7483, 754.45993)


def olsson(w):
    """c1 to c4 of h = c1 + c2 T + c3 T^2 + c4 T^3, kJ/kg."""
    x = 1.0 - w
    above = K[0] + K[2] * x + K[4] * x**2 + K[6] * x**3
    below = 1.0 + K[1] * x + K[3] * x**2 + K[5] * x**3 + K[7] * x**4
    return (
        above / below,
        math.fsum(c * x**i for i, c in enumerate(L)),
        math.fsum(c * x**i for i, c in enumerate(M)),
        math.fsum(c * x**i for i, c in enumerate(N)) * 1e-5,
    )


def enthalpy(w, t):
    return math.fsum(c * t**i for i, c in enumerate(olsson(w)))


def heat_capacity(w, t):
    _, c2, c3, c4 = olsson(w)
    return c2 + 2.0 * c3 * t + 3.0 * c4 * t**2


def bisected(function, wanted, low, high):
    """Where the rising function is as wanted; None if it is not between the ends."""
    if not function(low) <= wanted <= function(high):
        return None
    for _ in range(200):
        between = (low + high) / 2.0
        low, high = (between, high) if function(between) < wanted else (low, between)
    return (low + high) / 2.0


def peak(naoh, water, protons, ice, process):
    """No heat lost: w h(solid) + (1 - w) h(water), the fraction ice of it frozen, and the acids' heat.

    Degrees, or "beyond", "cold", "hot" where Olsson's equation does not reach."""
    w = naoh / (naoh + water)
    room = process["room_c"]
    liquid = room if process["jug_water_c"] is None else process["jug_water_c"]
    if w > 0.70 or not 0.0 <= liquid <= 150.0:
        return "beyond"
    of_water = ice * (enthalpy(0.0, 0.0) - MELTING) + (1.0 - ice) * enthalpy(0.0, liquid)
    solid = 1107.6 + 1.487 * (room - 25.0)
    acids = protons * NEUTRALISATION / ((naoh + water) / 1000.0)
    heat = w * solid + (1.0 - w) * of_water + acids
    if heat < enthalpy(w, 0.0):
        return "cold"
    return bisected(lambda t: enthalpy(w, t), heat, 0.0, 150.0) or "hot"


def to_mix(start, process, calibration):
    """Minutes by Newton's law of cooling."""
    bath = process["jug_bath_c"]
    around, usual = (process["room_c"], 45.0) if bath is None else (bath, 12.0)
    minutes = calibration["jug_cooling_min"] or usual
    mix = process["mix_c"]
    if start is None or mix > start or mix <= around:
        return None
    return minutes * math.log((start - around) / (mix - around))


# ---- moulds ---------------------------------------------------------------------------------

def mould(size, bars):
    """Volume asked for, of the mould, and a bar's sides; None where there is none."""
    kind, what = size
    if kind == "Volume":
        return what["ml"] * what.get("fill", 100.0) / 100.0, None, None, bars
    if kind != "Mould":
        return None, None, None, bars
    fill = what.get("fill", 100.0) / 100.0
    shape, s = what["shape"]
    if shape == "Round":
        ml = math.pi / 4.0 * s["diameter_mm"] ** 2 * s["length_mm"] / 1000.0
        return ml * fill, ml, [s["diameter_mm"], s["length_mm"] * fill / bars], bars
    if shape == "Cavities":
        ml = s["count"] * s["ml"]
        return ml * fill, ml, None, int(s["count"])
    length, width, height = s["length_mm"], s["width_mm"], s["height_mm"]
    ml = length * width * height / 1000.0
    rows, columns = bars, 1
    if shape == "Slab":
        # The grid whose faces come nearest to 3 : 2.
        def off(grid):
            a, b = length / grid[0], width / grid[1]
            return abs(math.log(max(a, b) / min(a, b) / 1.5))

        rows, columns = min(((r, bars // r) for r in range(1, bars + 1) if bars % r == 0), key=off)
    return ml * fill, ml, sorted((length / rows, width / columns, height * fill), reverse=True), bars


# ---- one design -----------------------------------------------------------------------------

class Batch:
    """Everything that goes in when the shares are of so many grams of fats."""

    def __init__(self, design, nominal):
        self.lines = []
        narrowed = design["lye_rests_on"][0] == "Possible"
        for line in design["fats"]:
            fat = FATS[line["fat"]]
            supplier = option(line.get("supplier"))
            sv = supplier["sv"] if supplier else sum(fat.used_sv) / 2.0 if narrowed else fat.sv
            self.lines.append((fat, line["share"], nominal * line["share"] / 100.0, sv))
        self.fats = math.fsum(m for _, _, m, _ in self.lines)
        self.exact = math.fsum(m * sv for _, _, m, sv in self.lines) / 1000.0 / KOH

        own = {kind: {r["id"]: r for k, r in design["materials"] if k == kind} for kind in ("Addition", "Scent")}
        self.additions = []
        for line in design["additions"]:
            name = line["addition"]
            record = own["Addition"].get(name)
            what = Addition.of_record(record) if record else ADDITIONS[name]
            # Before the lye rested on what is possible, a fatty acid took alkali like any other.
            what = what if narrowed else what.as_any_acid()
            stage = line.get("stage", ("IntoFats", None))[0]
            counts = line.get("counts_as_water", True)
            self.additions.append((name, what, self.amount(line["amount"]), stage, counts))
        self.scents = []
        for line in design["scents"]:
            stage = line.get("stage", ("AtTrace", None))[0]
            assert line["scent"] not in own["Scent"], "scents of one's own are not read here"
            self.scents.append((line["scent"], self.amount(line["amount"]), stage))

        # What lies on top meets neither lye nor fats; its water is accounted for like any other.
        def below(stage, _=None):
            return stage != "OnTop"

        def added(figure, keep=below):
            return math.fsum(m * figure(a) for _, a, m, s, c in self.additions if keep(s, c))

        alkali = design["alkali"]
        superfat = design["superfat"] / 100.0
        # A fatty acid takes alkali as the fats do, less the superfat.
        fatty = added(lambda a: a.protons if a.fatty else 0.0)
        self.fatty = added(lambda a: a.fatty)
        self.of_blend = self.exact
        self.exact += fatty
        protons = added(lambda a: 0.0 if a.fatty else a.protons)
        moles = self.exact * (1.0 - superfat) + protons
        share = alkali["koh_share"] / 100.0
        weight = (1.0 - share) * NAOH / (alkali["naoh_purity"] / 100.0), share * KOH / (alkali["koh_purity"] / 100.0)
        self.pure_naoh, self.pure_koh = moles * (1.0 - share) * NAOH, moles * share * KOH
        self.naoh, self.koh = moles * weight[0], moles * weight[1]
        self.for_acids = protons * (weight[0] + weight[1])
        self.pure = self.pure_naoh + self.pure_koh

        rule, number = design["water"]
        self.wanted = {
            "LyeConcentration": lambda: self.pure * (100.0 / number - 1.0),
            "WaterToAlkali": lambda: self.pure * number,
            "PercentOfFats": lambda: self.fats * number / 100.0,
        }[rule]()
        self.koh_water = self.koh - self.pure_koh
        brought = self.koh_water + added(lambda a: a.water, lambda _, counts: counts)
        self.to_weigh = max(self.wanted - brought, 0.0)
        self.water = self.to_weigh + brought
        self.uncounted = added(lambda a: a.water, lambda _, counts: not counts)
        self.in_jug = self.to_weigh + self.koh_water + added(lambda a: a.water, lambda s, _: s == "IntoJug")
        self.frozen = added(lambda a: a.water if a.scorches else 0.0, lambda s, _: s == "IntoJug")
        self.jug_protons = added(lambda a: a.protons, lambda s, _: s == "IntoJug")
        free_acids = fatty + math.fsum(m * sv for f, _, m, sv in self.lines if f.kind == "free acid") / 1000.0 / KOH
        self.made = WATER * (protons + free_acids * min(1.0 - superfat, 1.0))

        self.added = math.fsum(m for _, _, m, _, _ in self.additions)
        self.scented = math.fsum(m for _, m, _ in self.scents)
        self.added_fat = added(lambda a: a.fat)
        self.sugars = added(lambda a: a.sugars)
        self.acid_unknown = added(lambda a: a.uncounted)
        self.batter = self.fats + self.naoh + self.koh + self.to_weigh + self.added + self.scented
        fat = self.fats + self.fatty
        self.free_fat = 100.0 * (fat * max(superfat, 0.0) + self.added_fat) / (fat + self.added_fat)

        on_top = math.fsum(
            [m for _, _, m, s, _ in self.additions if not below(s)] + [m for _, m, s in self.scents if not below(s)]
        )
        density = design["calibration"]["batter_g_per_ml"]
        if density:
            self.ml = (self.batter - on_top) / density
        else:
            self.ml = math.fsum([
                *(m / fat.density_40 for fat, _, m, _ in self.lines),
                lye_ml(self.pure_naoh, self.pure_koh, self.in_jug, BATTER_C),
                (self.naoh - self.pure_naoh) / IMPURITY_DENSITY,
                added(lambda a: a.fat / FAT_40 + (1.0 - a.water - a.fat) / a.solids),
                added(lambda a: a.water / kell(BATTER_C), lambda s, _: s not in ("OnTop", "IntoJug")),
                *(m / SCENT_DENSITY for _, m, s in self.scents if below(s)),
            ])
        # Dried as far as soap dries; a batter that is drier already stays as it is.
        dry = self.batter - self.water - self.uncounted - self.made
        self.dried = min(dry / DRIED, self.batter)

    def amount(self, amount):
        kind, number = amount
        return {"PercentOfFats": self.fats / 100.0, "Grams": 1.0, "GramsPerKgFats": self.fats / 1000.0}[kind] * number


def solved(design, wanted_ml, bars):
    """The batch of the size that is asked for, the mass of fats by bisection."""
    kind, number = design["size"]
    if kind == "FatMass":
        return Batch(design, number)
    if kind == "BarMass":
        mass = bisected(lambda f: Batch(design, f).batter, number * bars, 1e-6, 1e6)
    elif kind == "BarAtSale":
        mass = bisected(lambda f: cured(design, Batch(design, f), None, bars)[0], number, 1e-6, 1e6)
    else:
        mass = bisected(lambda f: Batch(design, f).ml, wanted_ml, 1e-6, 1e6)
    assert mass is not None, "no mass of fats gives that size"
    return Batch(design, mass)


def sheet(t):
    """Part of the free water left in a sheet of thickness 1 that dries from both faces."""
    odd = range(1, 4001, 2)
    return 8.0 / math.pi**2 * math.fsum(math.exp(-((k * math.pi) ** 2) * t) / k**2 for k in odd) if t > 0.0 else 1.0


def bessel_j0(x):
    """J0 by its integral, (1/pi) * integral of cos(x sin u) over 0..pi; the trapezoid rule is exact here."""
    steps = 400
    return math.fsum(math.cos(x * math.sin(math.pi * i / steps)) for i in range(steps)) / steps


# It falls through its first root, rises through the second, and so on.
ROOTS = [
    bisected(lambda x, n=n: (-1) ** n * bessel_j0(x), 0.0, (n - 0.5) * math.pi, n * math.pi) for n in range(1, 60)
]


def cylinder(t):
    """Part of the free water left in a cylinder of radius 1 that dries through its side."""
    return 4.0 * math.fsum(math.exp(-root * root * t) / root**2 for root in ROOTS) if t > 0.0 else 1.0


def cured(design, b, bar_mm, bars):
    """Mass of a bar at sale, and the water in it."""
    process = design["process"]
    way = DIFFUSIVITY * process["cure_days"]
    if bar_mm is None:
        # Usual where no mould says otherwise: 25 mm thick, with a face of 3 to 2.
        face = 1000.0 * b.ml / bars / 25.0
        bar_mm = [25.0, math.sqrt(face * 1.5), math.sqrt(face / 1.5)]
    if len(bar_mm) == 3:
        left = math.prod(sheet(way / side**2) for side in bar_mm)
    else:
        diameter, thickness = bar_mm
        left = cylinder(way / (diameter / 2.0) ** 2) * sheet(way / thickness**2)
    water = b.water + b.uncounted + b.made
    kept = process["equilibrium_moisture"] / 100.0
    free = max(water - (b.batter - water) * kept / (1.0 - kept), 0.0)
    lost = free * (1.0 - left)
    return (b.batter - lost) / bars, (water - lost) / bars


# Half of the free water of a sheet of 25 mm leaves in 17 days (the model's estimate); mm2 a day.
DIFFUSIVITY = bisected(lambda t: 1.0 - sheet(t), 0.5, 0.001, 1.0) * 25.0**2 / 17.0


FAT_ROWS = {r["fat"]: r for r in table("fats.csv")}
ADDITION_ROWS = {r["addition"]: r for r in table("additions.csv")}
SCENT_ROWS = {r["scent"]: r for r in table("scents.csv")}
ALLERGENS = table("allergens.csv")

# What pure acids become; names of the inventory, or from memory.
SALTS = {
    "citric_acid": "Citrate", "citric_acid_monohydrate": "Citrate", "lactic_acid_80": "Lactate",
    "stearic_acid": "Stearate", "acetic_acid": "Acetate", "ascorbic_acid": "Ascorbate", "malic_acid": "Malate",
    "tartaric_acid": "Tartrate", "sodium_bicarbonate": "Carbonate",
}


def plain(inci, name):
    return inci or name.split(",")[0]


def ordered(parts):
    """Names by falling mass, equal names as one, colourants (by number) last."""
    masses = {}
    for name, mass in parts:
        if mass > 0.0:
            masses[name] = masses.get(name, 0.0) + mass
    return sorted(masses, key=lambda n: (n.startswith("CI "), -masses[n]))


def label(design, b, water_g):
    """Ingredients as put in, by the mass added, and as in the bar, by the mass at sale; allergens over 0.01 % at the dry end."""
    own = {r["id"]: r for kind, r in design["materials"] if kind == "Addition"}
    koh = design["alkali"]["koh_share"] / 100.0
    alkalis = [("Sodium", 1.0 - koh, NAOH), ("Potassium", koh, KOH)]
    soaped = min(1.0 - design["superfat"] / 100.0, 1.0)
    put, bar = [], []
    for fat, _, mass, sv in b.lines:
        row = FAT_ROWS[fat.id]
        name = plain(row["inci"], row["name"])
        put.append((name, mass))
        for metal, part, alkali in alkalis:
            moles = mass * soaped * part * sv / 1000.0 / KOH
            gives = {"triglyceride": GLYCEROL / 3.0, "free acid": WATER}.get(fat.kind, 0.0)
            soap = row[f"inci_{metal.lower()}_soap"] or f"Saponified {name}"
            bar.append((soap, mass * soaped * part + moles * (alkali - gives)))
        bar.append((name, mass * (1.0 - soaped)))
    put += [("Aqua", b.to_weigh + b.koh_water), ("Sodium Hydroxide", b.naoh), ("Potassium Hydroxide", b.koh - b.koh_water)]
    glycerin = math.fsum(m * fat.glycerol(sv) for fat, _, m, sv in b.lines) * soaped
    bar += [("Aqua", water_g), ("Glycerin", glycerin)]
    for name, what, mass, stage, _ in b.additions:
        row = own.get(name) or ADDITION_ROWS[name]
        inci = plain(row.get("inci", ""), row["name"])
        put.append((inci, mass))
        protons = 0.0 if stage == "OnTop" else mass * what.protons
        for metal, part, alkali in alkalis:
            called = f"{metal} {SALTS[name]}" if name in SALTS and protons > 0.0 else inci
            # Of a fatty acid as much stays free as of the fats.
            kept = soaped if what.fatty and stage != "OnTop" else 1.0
            bar.append((called, kept * part * (mass * (1.0 - what.water) + protons * (alkali - WATER))))
            bar.append((inci, (1.0 - kept) * part * mass * (1.0 - what.water)))
    put.append(("Parfum", b.scented))
    bar.append(("Parfum", b.scented))
    spare = max(-design["superfat"] / 100.0, 0.0) * b.exact
    bar += [(f"{metal} Hydroxide", spare * part * alkali) for metal, part, alkali in alkalis]
    return {"as_put_in": ordered(put), "as_in_the_bar": ordered(bar), "allergens": allergens(design, b)}


def allergens(design, b):
    asked = design["allergen_list"][0]
    grams = {}
    for name, mass, _ in b.scents:
        wholes, parts = {}, {}
        for entry in ALLERGENS:
            declared, cas = entry["allergen"], numbers_of(entry["cas"])
            if entry["kind"] == "natural":
                members = [m.strip().lower() for m in entry["members"].split(";")]
                if SCENT_ROWS[name]["inci"].lower() in members:
                    parts[declared] = 1.0
                continue
            for c in SCENTS[name]["constituents"]:
                if any(n in cas for n in numbers_of(c["cas"])):
                    to = wholes if c["whole"] else parts
                    to[declared] = to.get(declared, 0.0) + c["part"]
        for declared in {**wholes, **parts}:
            most = max(wholes.get(declared, 0.0), parts.get(declared, 0.0))
            grams[declared] = grams.get(declared, 0.0) + mass * most
    first = {e["allergen"] for e in ALLERGENS if e["list"] == "first 24"}
    wanted = [a for a in grams if asked == "Extended" or (asked == "FirstTwentyFour" and a in first)]
    over = [a for a in wanted if 100.0 * grams[a] / b.dried > 0.01]
    return sorted(over, key=lambda a: (-grams[a], a))


def scent_limits(b):
    """Findings, the tightest first; scents without a limit; scents with one that is not held."""
    sums, silent, not_held = {}, False, False
    for name, mass, _ in b.scents:
        found = limited(SCENTS[name])
        silent |= not found
        for substance, (limit, part, memory) in found.items():
            not_held |= limit["limit"] == "see the standard"
            entry = sums.setdefault(substance, {"limit": limit["limit"], "grams": 0.0, "memory": False})
            entry["grams"] += mass * part
            entry["memory"] |= memory
    rows = [
        {
            "substance": substance,
            "bar_pct": 100.0 * e["grams"] / b.dried,
            "limit_pct": float(e["limit"]),
            "from_memory": e["memory"],
        }
        for substance, e in sums.items()
        if e["limit"][0].isdigit()
    ]
    rows.sort(key=lambda r: -r["bar_pct"] / r["limit_pct"])
    return rows, silent, not_held


def jug(design, b):
    process = design["process"]
    concentration = 100.0 * b.pure / (b.pure + b.in_jug)
    sodium = b.koh == 0.0
    ice = max(process["jug_frozen"] / 100.0, b.frozen / b.in_jug) if b.in_jug > 0.0 else 0.0
    found = peak(b.pure_naoh, b.in_jug, b.jug_protons, ice, process) if sodium else "potassium"
    hottest = None if isinstance(found, str) else found
    room, mix = process["room_c"], process["mix_c"]
    density = None
    if lye_measured(b.pure_naoh, b.pure_koh, b.in_jug, room):
        density = (b.pure + b.in_jug) / lye_ml(b.pure_naoh, b.pure_koh, b.in_jug, room)
    meeting = None
    if sodium and concentration <= 70.0 and 0.0 <= mix <= 150.0:
        # A jug that is never so warm meets the fats at its peak.
        warmest = mix if hottest is None else min(mix, hottest)
        lye_heat = (b.pure + b.in_jug) * heat_capacity(concentration / 100.0, warmest)
        with_fats = b.fats + math.fsum(m for _, _, m, s, _ in b.additions if s == "IntoFats")
        fats_c = mix if process["fats_c"] is None else process["fats_c"]
        meeting = (with_fats * FAT_HEAT * fats_c + lye_heat * warmest) / (with_fats * FAT_HEAT + lye_heat)
    return {
        "water_g": b.in_jug,
        "least_water_g": b.pure_naoh + b.pure_koh * (1.0 - 0.53) / 0.53,
        "concentration_pct": concentration,
        "peak_c": hottest,
        "crystallises_below_c": crystallises_below(concentration) if sodium else None,
        "density_g_per_ml": density,
        "volume_ml": (b.pure + b.in_jug) / density if density else None,
        "minutes_to_mix": to_mix(hottest, process, design["calibration"]),
        "meeting_c": meeting,
    }, found


def water_account(b):
    rows = [("water to weigh", b.to_weigh, "IntoJug", True), ("potassium hydroxide", b.koh_water, "IntoJug", True)]
    rows += [(name, m * a.water, stage, counts) for name, a, m, stage, counts in b.additions]
    rows.append(("made by acids and alkali", b.made, "AtTrace", False))
    keys = ("from", "mass_g", "stage", "counted")
    return [dict(zip(keys, row)) for i, row in enumerate(rows) if i == 0 or row[1] > 0.0]


def cautions_of(design, b, said_jug, found, estimates, blend, limits):
    """Code -> level, or None where the rule does not call for it."""
    findings, silent, not_held = limits
    superfat, room = design["superfat"], design["process"]["room_c"]
    too_strong = said_jug["water_g"] < said_jug["least_water_g"] * (1.0 - 1e-9)
    hottest, below = said_jug["peak_c"], said_jug["crystallises_below_c"]
    known, bars = blend.unknown <= 0.10, mould(design["size"], int(design["bars"]))[3]
    total_share = math.fsum(share for _, share, _, _ in b.lines)
    over = any(f["bar_pct"] > f["limit_pct"] for f in findings)
    unread = [FATS[l["fat"]] for l in design["fats"] if not option(l.get("supplier")) and l["share"] > 0.0]
    # By more than the published ends are rounded: to whole numbers or to tenths.
    place = lambda q: 0.5 if all(end == round(end) for end in q) else 0.05
    apart = lambda p, q: p is not None and max(q[0] - p[1], p[0] - q[1]) > place(q)
    disagree = [f for f in unread if apart(f.possible_sv, f.published_sv)]
    rules = {
        "shares-not-100": ("stop", abs(total_share - 100.0) > 1e-6),
        "lye-heavy": ("stop", superfat <= 0.0),
        "sv-narrower": (
            "note",
            design["lye_rests_on"][0] == "Published" and any(f.narrows() for f in unread)
            or any(a.is_as_saved and s != "OnTop" for _, a, _, s, _ in b.additions),
        ),
        "sv-disagrees": (
            "care" if any(f.possible_sv[1] < f.published_sv[0] for f in disagree) else "note",
            bool(disagree),
        ),
        "water-not-reached": ("care", b.water > b.wanted * (1.0 + 1e-9)),
        "jug-too-strong": ("stop", too_strong),
        "concentration-high": ("care", not too_strong and said_jug["concentration_pct"] > 45.0),
        "concentration-low": ("care", 100.0 * b.pure / (b.pure + b.water + b.uncounted) < 22.0),
        "jug-crystallises": ("care", below is not None and below > room),
        "jug-hot": (
            "care",
            found == "hot" or (hottest or 0.0) > 116.0,
        ),
        "jug-too-cold": ("care", found == "cold"),
        "peak-unknown": ("note", found in ("beyond", "potassium")),
        "lye-density-unknown": ("note", said_jug["density_g_per_ml"] is None),
        "mix-not-reached": ("note", hottest is not None and said_jug["minutes_to_mix"] is None),
        "sugar-high": ("note", b.sugars > 0.020 * b.fats),
        "scent-limit": ("stop", over),
        "scent-no-limit": ("note", silent),
        "scent-limit-not-held": ("care", not_held),
        "bars-by-mould": ("note", bars != int(design["bars"])),
        "free-fat-high": (
            "note"
            if sum(blend.acids.get(a, 0.0) for a in ("8:0", "10:0", "12:0", "14:0")) >= 0.40
            and b.free_fat - max(superfat, 0.0) <= 6.0
            else "care",
            b.free_fat > 12.0,
        ),
        "keeping-above-range": ("note", estimates["keeping"]["place"] == "above"),
        "estimates-unknown": ("care", not known),
        "no-profile": ("note", known and blend.unknown > 1e-12),
        "style-unknown": ("note", not reference_soaps(design["style"])),
    }
    # Acids without a figure, as points of superfat: the model calls for care; how little of them
    # may pass is the program's affair.
    points = 100.0 * b.acid_unknown / NAOH / b.exact
    if points == 0.0 or points >= 0.5:
        rules["acid-not-counted"] = ("care", points > 0.0)
    return {code: level if said else None for code, (level, said) in rules.items()}


def expected(design):
    asked_bars = int(design["bars"])
    wanted_ml, mould_ml, bar_mm, bars = mould(design["size"], asked_bars)
    b = solved(design, wanted_ml, bars)
    said_jug, found = jug(design, b)
    limits = scent_limits(b)
    at_sale, water_at_sale = cured(design, b, bar_mm, bars)

    matter = [m * f.fatty_matter(sv) if f.fatty_matter(sv) is not None else None for f, _, m, sv in b.lines]
    blend = Blend([(fat.id, share) for fat, share, _, _ in b.lines])
    known = blend.unknown <= 0.10
    scores = blend.scores(b.free_fat / 100.0) if known else {}
    # The reference soaps keep as much free fat as the design, so that like is compared with like.
    soaps = [soap.scores(b.free_fat / 100.0) for soap in reference_soaps(design["style"])]
    estimates = {}
    for key in ("hardness", "cleansing", "conditioning", "lather_volume", "lather_persistence", "wear", "keeping"):
        score = scores.get(key)
        low, high = (end((s[key] for s in soaps), default=None) if known else None for end in (min, max))
        word = place(key, score, low, high) if known and soaps else None
        estimates[key] = {"value": score, "range_low": low, "range_high": high, "place": word}

    saponified = 1.0 - max(design["superfat"], 0.0) / 100.0
    return {
        "name": design["name"],
        "format": 1,
        "batch": {
            "fats_g": b.fats,
            "naoh_g": b.naoh,
            "koh_g": b.koh,
            "alkali_for_acids_g": b.for_acids,
            "water_total_g": b.water,
            "water_to_weigh_g": b.to_weigh,
            "water_uncounted_g": b.uncounted,
            "water_made_g": b.made,
            "additions_g": b.added,
            "scents_g": b.scented,
            "lye_concentration_pct": 100.0 * b.pure / (b.pure + b.water),
            "superfat_pct": design["superfat"],
            "free_fat_pct": b.free_fat,
            "addition_fat_g": b.added_fat,
            "sugars_g": b.sugars,
            "batter_g": b.batter,
            "batter_ml": b.ml,
            "bars": bars,
            "bar_fresh_g": b.batter / bars,
            "bar_cured_g": at_sale,
            "glycerol_g": saponified * math.fsum(m * fat.glycerol(sv) for fat, _, m, sv in b.lines),
        },
        "fats": [
            {"fat": fat.id, "share_pct": share, "mass_g": m, "saponification_value": sv} for fat, share, m, sv in b.lines
        ],
        "additions": [
            {"addition": name, "stage": stage, "mass_g": m, "water_g": m * a.water, "counts_as_water": counts}
            for name, a, m, stage, counts in b.additions
        ],
        "scents": [{"scent": name, "stage": stage, "mass_g": m} for name, m, stage in b.scents],
        "scent_limits": limits[0],
        "water": water_account(b),
        "size": {"wanted_ml": wanted_ml, "mould_ml": mould_ml, "bar_mm": bar_mm},
        "jug": said_jug,
        "chemistry": {
            "saponification_value": 1000.0 * KOH * b.of_blend / b.fats,
            "saponification_value_calculated": blend.sv if known else None,
            "iodine_value": blend.iv if known else None,
            "titre_c": blend.titre() if known else None,
            "tfm_fresh_pct": None if None in matter else 100.0 * (math.fsum(matter) + b.fatty) / b.batter,
            "tfm_cured_pct": None if None in matter else 100.0 * (math.fsum(matter) + b.fatty) / (at_sale * bars),
        },
        "acids_pct": {a: 100.0 * w for a, w in blend.acids.items() if w > 0.0},
        "estimates": estimates,
        "label": label(design, b, water_at_sale * bars),
        "cautions": cautions_of(design, b, said_jug, found, estimates, blend, limits),
    }


def possible_table():
    """Saponification values of all fats, to be compared with those of the program."""
    lines = ["fat,published_min,published_max,possible_min,possible_max,used_min,used_max"]
    for fat in FATS.values():
        ends = [*fat.published_sv, *(fat.possible_sv or ("", "")), *fat.used_sv]
        lines.append(",".join([fat.id, *(f"{end:.4f}" if end != "" else "" for end in ends)]))
    return "\n".join(lines) + "\n"


def main():
    stale = []
    lists = [(POSSIBLE, possible_table())]
    for path in sorted(CASES.glob("*.barwright")):
        text = json.dumps(expected(read_design(path)), indent=1, ensure_ascii=False) + "\n"
        lists.append((path.with_suffix(".expected.json"), text))
    for target, text in lists:
        if "--check" in sys.argv[1:]:
            if not target.exists() or target.read_text(encoding="utf-8") != text:
                stale.append(target.name)
        else:
            target.write_text(text, encoding="utf-8")
    if stale:
        raise SystemExit("out of date: " + ", ".join(stale))


main()
