#!/usr/bin/env python3
"""Makes the reference tables for lye: what published packages say of NaOH and KOH in water.

Independent of the Rust code and of its coefficients: every figure comes out of a package that
holds its own copy of the published equations. The tables are kept in tests/data; the Rust checks
compare with them and do not need Python.

    pip install absorptionlib==1.1.0 thermo==0.6.1 chemicals==1.5.2 iapws==1.5.5 CoolProp==8.0.0 scipy
    python3 tests/peers/lye_reference.py            writes the tables
    python3 tests/peers/lye_reference.py --check    says whether they are up to date

    naoh-enthalpy.csv       enthalpy of NaOH-water, Olsson, Jernqvist & Aly 1997 (absorptionlib)
    naoh-peak.csv           adiabatic peak of dissolving solid NaOH, from that enthalpy
    lye-density.csv         Olsson et al. 1997 (absorptionlib), Laliberte 2009 (thermo)
    lye-density-mixed.csv   NaOH and KOH together, Laliberte 2009 (thermo)
    naoh-dilution.csv       heat of solution at 25 C: Olsson, CRC ions (chemicals), from memory
    water-density.csv       IAPWS-95 (iapws), held against chemicals and CoolProp while made

naoh-density-1908.csv is a reproduction and is not made here. Rows for which absorptionlib warns
(outside the range of the correlation, or below its crystallization line) are left out.
"""

import csv
import importlib.metadata
import io
import pathlib
import sys
import warnings

import chemicals
import CoolProp.CoolProp
import iapws
import thermo.electrochem as electrochem
from absorptionlib import NaOH
from scipy.optimize import brentq

DATA = pathlib.Path(__file__).resolve().parent.parent / "data"

NAOH_CAS, KOH_CAS = "1310-73-2", "1310-58-3"
NAOH_MOL, WATER_MOL = 39.997, 18.015
# Solid NaOH: kJ/kg at 25 C on the scale of the enthalpy equation, and its heat capacity in kJ/kg/K
SOLID_25, SOLID_CP = 1107.6, 1.487


def named(package):
    return f"{package} {importlib.metadata.version(package)}"


def quiet(function, w, t):
    """The package's value, or None where it warns."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            return function(w, t)
        except UserWarning:
            return None


def enthalpy_rows():
    for pct in range(0, 75, 5):
        for t in (0, 20, 40, 60, 80, 100, 120):
            h = quiet(NaOH.enthalpy, pct / 100, t)
            if h is not None:
                yield pct, t, f"{h:.4f}"


def solid(t):
    return SOLID_25 + SOLID_CP * (t - 25)


def peak_rows():
    for pct in (20, 22, 25, 28, 30, 33.3, 36, 40, 45, 50):
        for start in (10, 20, 25):
            w = pct / 100
            before = w * solid(start) + (1 - w) * quiet(NaOH.enthalpy, 0, start)
            peak = brentq(
                lambda t: NaOH.enthalpy(w, t, prevent_errors=True) - before, start, 200, xtol=1e-10
            )
            assert quiet(NaOH.enthalpy, w, peak) is not None, (pct, start, peak)
            yield pct, start, f"{peak:.3f}"


def density_rows():
    olsson = f"{named('absorptionlib')} (Olsson 1997)"
    for pct in range(5, 75, 5):
        for t in (0, 10, 20, 40, 60, 80, 100):
            rho = quiet(NaOH.density, pct / 100, t)
            below = t < NaOH.solubility_temperature(pct / 100)
            if rho is not None and not below:
                yield "NaOH", pct, t, f"{rho:.3f}", olsson
    laliberte = f"{named('thermo')} (Laliberte 2009)"
    for alkali, cas in (("NaOH", NAOH_CAS), ("KOH", KOH_CAS)):
        for pct in range(5, 55, 5):
            for t in (20, 40, 60, 80):
                rho = electrochem.Laliberte_density(t + 273.15, [pct / 100], [cas])
                yield alkali, pct, t, f"{rho:.3f}", laliberte


def mixed_rows():
    for naoh, koh in ((5, 5), (10, 10), (15, 15), (20, 20), (20, 10), (10, 20), (30, 5), (5, 30)):
        for t in (20, 60):
            rho = electrochem.Laliberte_density(
                t + 273.15, [naoh / 100, koh / 100], [NAOH_CAS, KOH_CAS]
            )
            yield naoh, koh, t, f"{rho:.3f}"


def heat_of_solution(w):
    """Heat given off at 25 C by the Olsson enthalpy, kJ per mol NaOH."""
    before = w * SOLID_25 + (1 - w) * quiet(NaOH.enthalpy, 0, 25)
    return (before - quiet(NaOH.enthalpy, w, 25)) / w * NAOH_MOL / 1000


def share(water):
    """Mass fraction of NaOH with so many moles of water to one of NaOH."""
    return NAOH_MOL / (NAOH_MOL + water * WATER_MOL)


# Integral heats of solution of solid NaOH at 25 C, kJ/mol, by moles of water: NBS Circular 500 as
# reprinted in Felder & Rousseau, Elementary Principles of Chemical Processes. FROM MEMORY.
REMEMBERED = (
    (3, 28.87), (4, 34.43), (5, 37.74), (10, 42.51), (20, 42.84), (30, 42.72), (40, 42.59),
    (50, 42.51), (100, 42.34), (200, 42.26), (500, 42.38), (1000, 42.47),
)


def dilution_rows():
    olsson = f"{named('absorptionlib')} (Olsson 1997)"
    for pct in (0.1, 0.5, 1, 2, 5, 10, 20, 30, 40):
        w = pct / 100
        water = (1 - w) / w * NAOH_MOL / WATER_MOL
        yield "olsson", pct, f"{water:.3f}", f"{heat_of_solution(w):.3f}", olsson
    for water, _ in REMEMBERED:
        w = share(water)
        yield "olsson", f"{100 * w:.4f}", water, f"{heat_of_solution(w):.3f}", olsson
    for water, heat in REMEMBERED:
        yield ("published", f"{100 * share(water):.4f}", water, heat,
               "NBS Circular 500 as reprinted by Felder & Rousseau: from memory")
    yield "published", 0, "infinite", 42.87, "the same series at infinite dilution: from memory"
    ions = electrochem.CRC_aqueous_thermodynamics["Hf(aq)"]
    crc = (chemicals.Hfs(NAOH_CAS, method="CRC") - ions["17341-25-2"] - ions["14280-30-9"]) / 1000
    yield ("formation", 0, "infinite", f"{crc:.3f}",
           f"{named('chemicals')} (CRC): -425.8 - (-240.1 - 230.0)")
    yield ("formation", 0, "infinite", f"{-425.609 + 470.114:.3f}",
           "NBS tables 1982: -425.609 - (-470.114): from memory")


def water_rows():
    source = f"{named('iapws')} (IAPWS-95)"
    for t in (4, 10, 15, 15.6, 20, 25, 30, 40, 50, 60, 70, 80, 90, 95, 100):
        kelvin = t + 273.15
        # At 100 C and one atmosphere water is vapour: the liquid on the boiling curve
        if t < 100:
            rho = iapws.IAPWS95(T=kelvin, P=0.101325).rho
            others = (
                chemicals.iapws95_rho(kelvin, 101325.0),
                CoolProp.CoolProp.PropsSI("D", "T", kelvin, "P", 101325, "Water"),
            )
            where = source + " at 101.325 kPa"
        else:
            rho = iapws.IAPWS95(T=kelvin, x=0).rho
            others = (
                chemicals.iapws95_rhol_sat(kelvin),
                CoolProp.CoolProp.PropsSI("D", "T", kelvin, "Q", 0, "Water"),
            )
            where = source + " saturated liquid"
        assert all(abs(rho - other) < 2e-3 for other in others), (t, rho, others)
        yield t, f"{rho:.3f}", where


TABLES = {
    "naoh-enthalpy.csv": (("naoh_pct", "temperature_c", "enthalpy_kj_per_kg"), enthalpy_rows),
    "naoh-peak.csv": (("naoh_pct", "start_c", "peak_c"), peak_rows),
    "lye-density.csv": (
        ("alkali", "pct", "temperature_c", "kg_per_m3", "source"), density_rows),
    "lye-density-mixed.csv": (("naoh_pct", "koh_pct", "temperature_c", "kg_per_m3"), mixed_rows),
    "naoh-dilution.csv": (
        ("kind", "naoh_pct", "water_mol_per_mol", "heat_kj_per_mol", "source"), dilution_rows),
    "water-density.csv": (("temperature_c", "kg_per_m3", "source"), water_rows),
}


def main():
    check = sys.argv[1:] == ["--check"]
    stale = []
    for name, (header, rows) in TABLES.items():
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows())
        path = DATA / name
        if check:
            if not path.exists() or path.read_text(encoding="utf-8") != text.getvalue():
                stale.append(name)
        else:
            path.write_text(text.getvalue(), encoding="utf-8")
    if stale:
        sys.exit("out of date: " + ", ".join(stale))


if __name__ == "__main__":
    main()
