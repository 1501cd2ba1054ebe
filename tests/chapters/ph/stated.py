"""Computations behind the stated checks of the pH chapter, through the public functions."""

import numpy as np
from stilltank.science.chemistry import Solution, Water, hardness_as_caco3, hardness_on_scale, molar_mass
from stilltank.science.chemistry.equilibrium import log_henry_constant, log_k, reagent_to_ph, solve
from stilltank.science.ph import (
    acid_dose,
    alkalinity_as_caco3,
    alkalinity_as_charge,
    alkalinity_by_titration,
    base_dose,
    bicarbonate_share,
    calibration_ph,
    endpoint_ph,
    ph_after,
    ph_after_uptake,
    ph_of,
    saturation_indices,
    titrate,
)
from stilltank.science.products import acid, base, strength_by_density
from stilltank.science.pure_water import water_density
from stilltank.units import Q

HOAGLAND_1 = {"K+": 6, "Ca+2": 5, "Mg+2": 2, "NO3-": 15, "H2PO4-": 1, "SO4-2": 2}
HOAGLAND_2 = {"K+": 6, "NH4+": 1, "Ca+2": 4, "Mg+2": 2, "NO3-": 14, "H2PO4-": 1, "SO4-2": 2}
STEINER = {"K+": 7, "Ca+2": 4.5, "Mg+2": 2, "NO3-": 12, "H2PO4-": 1, "SO4-2": 3.5}


def per_kg(amount, celsius=25):
    """The mmol/L that are ``amount`` mmol in a kg of water."""
    return (Q(amount, "mmol/kg") * water_density(Q(celsius, "degC"))).to("mmol/L")


def in_a_kg(amount, celsius=25):
    """The mmol/kg of water, or mg/kg, of something stated in a litre."""
    return amount / water_density(Q(celsius, "degC"))


def water(base, amount, ph, celsius=25):
    """Water of one bicarbonate, ``amount`` mmol of Na or Ca in a kg, its carbonate set by its pH."""
    charge = amount * {"Na": 1, "Ca": 2}[base]
    return Water(
        {base: per_kg(amount, celsius)},
        alkalinity=per_kg(charge, celsius),
        ph=ph,
        temperature=Q(celsius, "degC"),
    )


def dissolved(ions, base=None, celsius=25):
    """A litre of solution with so many mmol of each ion in a kg of water."""
    added = {ion: per_kg(amount, celsius) for ion, amount in ions.items()}
    return Solution(Q(1, "L"), added, water=base or Water.pure(Q(celsius, "degC")))


LABELS = (  # row, liquid, percent of the mass, g/mL
    ("S42a", "nitric acid", 38, 1.233),
    ("S42b", "nitric acid", 53, 1.328),
    ("S42c", "nitric acid", 68, 1.403),
    ("S44a", "phosphoric acid", 50, 1.336),
    ("S44b", "phosphoric acid", 75, 1.576),
    ("S46a", "sulfuric acid", 35, 1.261),
    ("S46b", "sulfuric acid", 37, 1.278),
    ("S47a", "hydrochloric acid", 10, 1.047),
    ("S47b", "hydrochloric acid", 32, 1.159),
    ("S49a", "potassium hydroxide", 10, 1.090),
    ("S49b", "potassium hydroxide", 30, 1.289),
    ("S49c", "potassium hydroxide", 50, 1.512),
    ("S52", "citric acid", 10, 1.0402),
)


def labelled(name, percent, density):
    """The concentration of a bottle by its label."""
    bottle = base if name == "potassium hydroxide" else acid
    return bottle(name, strength=Q(percent, "percent"), density=Q(density, "g/mL")).concentration


SOFT = water("Na", 1.998264, 8.0)
HARD = water("Ca", 2.497829, 7.6)
CASES = {  # solution, acid, target, air, degC
    "G1": (SOFT, "nitric acid 61.4 %", 6.0, "closed", 25),
    "G3": (HARD, "sulfuric acid 35 %", 5.8, "closed", 25),
    "G4": (HARD, "phosphoric acid 75 %", 5.8, "closed", 25),
    "G6": (dissolved(HOAGLAND_1, HARD), "nitric acid 61.4 %", 5.8, "closed", 25),
    "G7": (dissolved(HOAGLAND_1, HARD), "nitric acid 61.4 %", 5.8, "open", 25),
    "G10": (
        dissolved(STEINER, water("Ca", 0.999132, 8.0, 20), 20),
        "sulfuric acid 35 %",
        5.5,
        "closed",
        20,
    ),
    "G12": (water("Ca", 1.998264, 7.5, 20), "nitric acid 61.4 %", 6.2, "closed", 20),
    "G16": (water("Na", 1.998264, 8.0, 10), "sulfuric acid 35 %", 6.0, "closed", 10),
}
STATED_DOSES = {"G3": 1.8825, "G4": 3.5127, "G6": 3.5531, "G10": 0.8377, "G12": 2.2209, "G16": 0.7268}


def dose(case):
    """The dose of a reference case, mmol in a kg of water."""
    solution, name, target, air, celsius = CASES[case]
    return in_a_kg(acid_dose(solution, target, name, air).amount, celsius)


def degassed(case):
    """pH in air of a reference case after the dose PHREEQC states for it."""
    solution, name, _, _, celsius = CASES[case]
    return ph_after(solution, name, per_kg(STATED_DOSES[case], celsius), "open")


def adds(case, element):
    """What the dose of a reference case adds, mg in a kg of water."""
    solution, name, target, air, celsius = CASES[case]
    return in_a_kg(acid_dose(solution, target, name, air).adds[element], celsius)


def potassium_hydroxide_for_hoagland():
    """KOH that brings Hoagland 1 in pure water to pH 5.8, no carbonate."""
    return in_a_kg(base_dose(dissolved(HOAGLAND_1), 5.8, "potassium hydroxide 1 mol/L").amount)


def for_one_equivalent(name):
    """Acid that gives one meq to each litre of a cubic metre."""
    bottle = acid(name)
    each = {"phosphoric acid 75 %": 1}.get(name, bottle.protons)
    return bottle.volume(Q(1 / each, "mol")) / Q(1, "m^3")


def fluid_ounce_in_100_gallons(name):
    """Acid that one US fl oz brings into each litre of 100 US gal."""
    return (acid(name).concentration * Q(1, "fluid_ounce") / Q(100, "gallon")).to("mmol/L")


def normality(name):
    """Equivalents in a litre of bottled acid."""
    return acid(name).concentration * acid(name).protons


def pk(species, celsius=25):
    """pK of an acid."""
    return log_k(species, Q(celsius, "degC"))


def pk1(celsius):
    """pK1 of dissolved carbon dioxide."""
    return pk("CO2", celsius) - pk("HCO3-", celsius)


def protons_of_phosphoric(target):
    """H+ each phosphoric acid gives in sodium bicarbonate water."""
    return acid_dose(SOFT, target, "phosphoric acid 75 %").protons


HALF = dissolved({ion: amount / 2 for ion, amount in HOAGLAND_1.items()}).state()

BARE = dissolved(
    {ion: amount / 2 for ion, amount in HOAGLAND_1.items() if ion != "H2PO4-"} | {"NO3-": 8}
).state()


def base_to(state, ph):
    """Potassium hydroxide to a pH, mol in a kg of water."""
    return float(reagent_to_ph(state, ph, {"K": 1, "strong_charge": 1}).dose)


def with_base(state, amount):
    """A state with so much potassium hydroxide more, mol in a kg of water."""
    return {**state, "K": state["K"] + amount, "strong_charge": state["strong_charge"] + amount}


def dose_for_forty(bottle="nitric acid 1 mol/L"):
    """Acid for 40 L of soft water of 2 meq/L, pH 7.8, to pH 5.8."""
    soft = Water({"Na": Q(2, "mmol/L")}, alkalinity=Q(2, "mmol/L"), ph=7.8, temperature=Q(25, "degC"))
    return acid_dose(Solution(Q(40, "L"), {}, water=soft), 5.8, bottle)


COMPUTED = {
    **{f"P-KW{t}": lambda t=t: -pk("water", t) for t in (10, 20, 25, 40)},
    **{f"P-K1-{t}": lambda t=t: pk1(t) for t in (10, 20, 25, 35)},
    **{f"P-K2-{t}": lambda t=t: pk("HCO3-", t) for t in (20, 25, 30)},
    **{f"P-KH-{t}": lambda t=t: -log_henry_constant(Q(t, "degC")) for t in (20, 25)},
    "P-AIR420-25": lambda: ph_of(Water.pure(Q(25, "degC")), "open"),
    "P-AIR400-25": lambda: solve({}, np.log10(400e-6)).ph,
    "P-ALKAIR25": lambda: ph_of(water("Na", 25 / 50.043, 8.0), "open"),
    "P-ALKAIR100": lambda: ph_of(water("Na", 100 / 50.043, 8.0), "open"),
    "P-CV01": lambda: alkalinity_as_caco3(Q(1, "mmol/L")),
    "P-CV02": lambda: alkalinity_as_charge(Q(100, "mg/L")) * molar_mass("HCO3"),
    "P-CV04": lambda: Q(10, "mg/L") / molar_mass("CaO") * molar_mass("CaCO3"),
    "P-CV05": lambda: hardness_on_scale("French degrees", hardness_as_caco3(1, "German degrees")),
    "P-CV06": lambda: hardness_as_caco3(1, "English degrees"),
    "P-CV07": lambda: hardness_as_caco3(1, "grains per US gallon"),
    "P-CV08": lambda: hardness_on_scale("German degrees", Q(1, "mmol/L")),
    "P-BF01": lambda: calibration_ph("phthalate"),
    "P-BF03": lambda: ph_of(dissolved({"K+": 25, "Na+": 50, "H2PO4-": 50})),
    "P-BF05": lambda: ph_of(dissolved({"Na+": 75, "HCO3-": 25, "CO3-2": 25})),
    "P-BF08": lambda: ph_of(dissolved({"Na+": 20, "B(OH)3": 40})),
    "P-PK-H3PO41": lambda: pk("H3PO4"),
    "P-PK-H3PO42": lambda: pk("H2PO4-"),
    "P-PK-citric1": lambda: pk("H3citrate"),
    "P-PK-citric2": lambda: pk("H2citrate-"),
    "P-PK-citric3": lambda: pk("Hcitrate-2"),
    "P-PK-HSO42": lambda: pk("HSO4-"),
    "P-PK-NH41": lambda: pk("NH4+"),
    "P-AC01": lambda: acid("phosphoric acid 85 %").concentration,
    "P-AC04": lambda: for_one_equivalent("phosphoric acid 75 %"),
    "P-AC05": lambda: for_one_equivalent("nitric acid 61.4 %"),
    "P-AC07": lambda: for_one_equivalent("sulfuric acid 35 %"),
    "P-AC08": lambda: for_one_equivalent("sulfuric acid 93 %"),
    "P-AC09": lambda: alkalinity_as_caco3(2 * fluid_ounce_in_100_gallons("sulfuric acid 93 %")),
    "P-AC11": lambda: fluid_ounce_in_100_gallons("phosphoric acid 75 %") * molar_mass("P"),
    "P-AC12": lambda: (
        alkalinity_as_charge(Q(50, "mg/L")) * Q(100, "gallon") / normality("sulfuric acid 35 %")
    ),
    "P-AC14": lambda: alkalinity_as_charge(Q(50, "mg/L")) / (Q(27.5, "mg/L") / molar_mass("P")),
    "P-AC15": lambda: normality("sulfuric acid 93 %") / normality("hydrochloric acid 32 %"),
    "P-FR58": lambda: 1 - bicarbonate_share(5.8),
    **{f"P-{case}": lambda case=case: dose(case) for case in CASES},
    **{f"P-{case}D": lambda case=case: degassed(case) for case in STATED_DOSES},
    "P-G13": potassium_hydroxide_for_hoagland,
    "P-G1N": lambda: adds("G1", "N"),
    "P-G4N": lambda: adds("G4", "P"),
    **{
        f"P-PR{target:g}": lambda target=target: protons_of_phosphoric(target)
        for target in (5.8, 6.0, 6.2, 6.5)
    },
    **{
        f"P-TT{meq:g}": lambda meq=meq: titrate(SOFT, "hydrochloric acid 32 %", per_kg([meq]))[0]
        for meq in (0, 0.4, 1.2, 2.2)
    },
    **{f"P-EP{caco3}": lambda caco3=caco3: endpoint_ph(Q(caco3, "mg/L")) for caco3 in (30, 150, 500)},
    "P-AT01": lambda: alkalinity_by_titration(Q(10, "mL"), Q(0.02, "mol/L"), Q(100, "mL")),
    "P-ST-1_mmolkgw_KH2PO4": lambda: ph_of(dissolved({"K+": 1, "H2PO4-": 1})),
    "P-ST-1_mmolkgw_H3PO4": lambda: ph_after(Water.pure(Q(25, "degC")), "phosphoric acid 1 mol/L", per_kg(1)),
    "P-ST-Hoagland_1": lambda: ph_of(dissolved(HOAGLAND_1)),
    "P-DR1": lambda: ph_after_uptake(dissolved(HOAGLAND_1 | {"K+": 6.1063}), nitrate=per_kg(0.5)),
    "P-DR3": lambda: ph_after_uptake(dissolved(HOAGLAND_2 | {"K+": 6.1063}), ammonium=per_kg(0.5)),
    "P-SI-CALCITE": lambda: saturation_indices(water("Ca", 100 / 100.087, 7.6), air="open").calcite,
    **{
        row: lambda name=name, percent=percent, density=density: labelled(name, percent, density)
        for row, name, percent, density in LABELS
    },
    "S53a": lambda: strength_by_density("sulfuric acid", Q(1.260, "g/mL")),
    "S53b": lambda: strength_by_density("hydrochloric acid", Q(1.160, "g/mL")),
    "S53c": lambda: strength_by_density("potassium hydroxide", Q(1.290, "g/mL")),
    "P-H3": lambda: dose_for_forty().amount,
    "P-H3V": lambda: dose_for_forty().volume,
    "P-H3C": lambda: (
        dose_for_forty(acid("nitric acid 61.4 %", strength=Q(60, "percent"), density=Q(1.367, "g/mL"))).volume
    ),
    "P-H4": lambda: solve(with_base(HALF, base_to(HALF, 5.8) + 1e-4)).ph,
    "P-H4N": lambda: solve(with_base(BARE, base_to(BARE, 5.8) + 1e-4)).ph,
    "P-H10": lambda: Q(base_to(HALF, 6.8) - base_to(HALF, 5.8), "mol/kg") * water_density(Q(25, "degC")),
    "P-RDX": lambda: ph_after(dissolved(HOAGLAND_2), "nitric acid 0.1 mol/L", per_kg(0.1)),
}
