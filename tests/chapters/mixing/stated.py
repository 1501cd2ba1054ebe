"""Computations behind the stated checks of the mixing chapter, through the public functions."""

from stilltank.science import chemistry
from stilltank.science.chemistry import (
    element_share,
    from_label,
    gypsum_precipitated,
    gypsum_saturation_index,
    gypsum_solubility,
    molar_mass,
    osmotic_pressure,
)
from stilltank.science.mixing import (
    brushite_ph,
    calibration_standard,
    ppm_reading,
    recipe_solution,
    single_concentrate,
    stocks,
    strength_of,
    two_part_rule,
    weigh_out,
)
from stilltank.science.products import Salt, salt
from stilltank.science.pure_water import water_density
from stilltank.tables import load
from stilltank.units import Q, read

LITRE = Q(1, "L")
HOAGLAND_SALTS = ("Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O")
MODIFIED_SONNEVELD = {
    "Ca+2": 2.249, "NO3-": 9.7945, "NH4+": 0.9251, "K+": 5.3711, "H2PO4-": 0.9997, "Mg+2": 0.9978, "SO4-2": 0.9978,
}  # fmt: skip
MAGNESIUM_SULFATE = Salt.from_label("magnesium sulfate by label", {"Mg": Q(9.7, "percent")})


def mass(formula):
    return lambda: molar_mass(formula)


def share(formula, element):
    return lambda: element_share(formula, element)


def element(recipe, symbol):
    return lambda: recipe_solution(recipe).elements[symbol]


def ammonium_nitrogen(recipe):
    return recipe_solution(recipe).ions["NH4+"] * molar_mass("N")


def per_kg(ions, celsius=25):
    """Ions in mmol/kg of water as concentrations in a litre."""
    return {
        ion: (Q(value, "mmol/kg") * water_density(Q(celsius, "degC"))).to("mmol/L")
        for ion, value in ions.items()
    }


def root_of_the_solubility_product():
    """What dissolves where activities and pairs are forgotten: at a trace, where neither counts, m * 10^(-index/2)."""
    trace = per_kg({"Ca+2": 1e-6, "SO4-2": 1e-6})
    return Q(1e-6 * 10 ** (-gypsum_saturation_index(trace, Q(25, "degC")) / 2), "mmol/kg")


def reading(ions, celsius=25):
    return chemistry.conductivity(per_kg(ions, celsius), Q(celsius, "degC"))


def potassium_chloride(molality, celsius=25):
    return lambda: reading({"K+": molality, "Cl-": molality}, celsius)


def per_litre(recipe):
    """The ions of a recipe, its mmol/L read as mmol/kg of water, as the stated values do."""
    return reading({ion: value.m_as("mmol/L") for ion, value in recipe_solution(recipe).ions.items()})


def at_strength(recipe, share):
    return reading({ion: share * value.m_as("mmol/L") for ion, value in recipe_solution(recipe).ions.items()})


def in_one_bottle():
    return single_concentrate(weigh_out("Hoagland 1", HOAGLAND_SALTS, Q(10, "L")), 100)


def brushite(recipe):
    return lambda: brushite_ph(recipe_solution(recipe), Q(20, "degC"))


def by_bottles(name):
    return lambda: two_part_rule().bottles[name]


def solubility(name):
    """g of dry salt in 100 g of water."""
    return lambda: salt(name).dry_solubility.to("g/kg") * Q(100, "g")


def magnesium_by_label(volume):
    return weigh_out({"Mg": Q(40, "mg/L")}, [MAGNESIUM_SULFATE], volume).masses["magnesium sulfate by label"]


def nitrogen_by_label():
    return weigh_out({"N": Q(100, "mg/L")}, ["calcium nitrate"], LITRE).solution


def hoagland_stocks(strength):
    return stocks(weigh_out("Hoagland 1", HOAGLAND_SALTS, Q(10, "L")), strength, LITRE)


def one_tank():
    ions = recipe_solution("Hoagland 1").ions
    return gypsum_precipitated(
        per_kg({i: 100 * v.m_as("mmol/L") for i, v in ions.items()}, 20), Q(20, "degC")
    )


def two_tanks():
    both = hoagland_stocks(200)
    return sum(gypsum_precipitated(stock.solution.ions, Q(20, "degC")) for stock in both)


COMPUTED = {
    "M-MW01": mass("Ca(NO3)2.4H2O"),
    "M-MW02": mass("5Ca(NO3)2.NH4NO3.10H2O"),
    "M-MW03": mass("KNO3"),
    "M-MW05": mass("K2SO4"),
    "M-MW06": mass("MgSO4.7H2O"),
    "M-MW08": mass("H3BO3"),
    "M-MW09": mass("MnCl2.4H2O"),
    "M-MW12": mass("Na2MoO4.2H2O"),
    "M-OX01": share("P2O5", "P"),
    "M-OX02": share("K2O", "K"),
    "M-OX04": share("MgO", "Mg"),
    "M-OX05": share("SO3", "S"),
    "M-PC01": share("Ca(NO3)2.4H2O", "Ca"),
    "M-PC02": share("Ca(NO3)2.4H2O", "N"),
    "M-PC03": share("KNO3", "N"),
    "M-PC04": share("KNO3", "K"),
    "M-PC05": share("KH2PO4", "P"),
    "M-PC07": share("K2SO4", "K"),
    "M-PC08": share("MgSO4.7H2O", "Mg"),
    "M-PC09": share("MgSO4.7H2O", "S"),
    "M-PC10": share("NH4H2PO4", "P"),
    "M-PC11": share("5Ca(NO3)2.NH4NO3.10H2O", "N"),
    "M-PC12": share("5Ca(NO3)2.NH4NO3.10H2O", "Ca"),
    "M-PC13": lambda: salt("iron EDTA").share("Fe"),
    "M-PC15": share("H3BO3", "B"),
    "M-PC16": share("Mg(NO3)2.6H2O", "N"),
    "M-DS01": lambda: salt("calcium nitrate double salt").share("NH4-N"),
    "M-DS02": lambda: salt("calcium nitrate double salt").share("NO3-N"),
    "M-LB01": lambda: element_share("KH2PO4", "P") / from_label(p2o5=Q(1, "percent"))["P"] * Q(1, "percent"),
    "M-EG01": lambda: nitrogen_by_label().masses["calcium nitrate fertiliser"] / LITRE,
    "M-EG02": lambda: nitrogen_by_label().elements["Ca"],
    "M-EG03": lambda: magnesium_by_label(LITRE) / LITRE,
    "M-EG06": lambda: magnesium_by_label(Q(100, "gallon")),
    "M-EG07": lambda: from_label(p2o5=Q(12, "percent"))["P"],
    "M-H1N": element("Hoagland 1", "N"),
    "M-H1P": element("Hoagland 1", "P"),
    "M-H1K": element("Hoagland 1", "K"),
    "M-H1Ca": element("Hoagland 1", "Ca"),
    "M-H1Mg": element("Hoagland 1", "Mg"),
    "M-H2N": element("Hoagland 2", "N"),
    "M-H2NH4N": lambda: ammonium_nitrogen("Hoagland 2"),
    "M-HMB": element("Hoagland micronutrients", "B"),
    "M-HMMn": element("Hoagland micronutrients", "Mn"),
    "M-HMCu": element("Hoagland micronutrients", "Cu"),
    "M-HMCl": element("Hoagland micronutrients", "Cl"),
    "M-HMMo": element("Hoagland micronutrients", "Mo"),
    "M-STN": element("Steiner", "N"),
    "M-STP": element("Steiner", "P"),
    "M-STK": element("Steiner", "K"),
    "M-STCa": element("Steiner", "Ca"),
    "M-STMg": element("Steiner", "Mg"),
    "M-STS": element("Steiner", "S"),
    "M-ST-OP": lambda: osmotic_pressure(recipe_solution("Steiner").ions, Q(20, "degC")),
    "M-COCa": element("Cooper", "Ca"),
    "M-COP": element("Cooper", "P"),
    "M-COMg": element("Cooper", "Mg"),
    "M-MPP": element("US modified Sonneveld", "P"),
    "M-MPCa": element("US modified Sonneveld", "Ca"),
    "M-MPMg": element("US modified Sonneveld", "Mg"),
    "M-MPMn": element("US modified Sonneveld", "Mn"),
    "M-SV-SonnLettuce": lambda: recipe_solution("Sonneveld lettuce").charge_balance.cations,
    "M-SV-Gerbera": lambda: recipe_solution("Sonneveld gerbera").charge_balance.anions,
    "M-SK01": lambda: hoagland_stocks("1 in 100").calcium.masses["calcium nitrate tetrahydrate"] / LITRE,
    "M-SK03": lambda: Q(100 * (1 - strength_of("1 in 100") / strength_of("1 + 100")), "percent"),
    "M-EC01": potassium_chloride(10),
    "M-EC02": potassium_chloride(10, 20),
    "M-EC05": potassium_chloride(100),
    "M-EC09": lambda: calibration_standard(Q(25, "degC"), "litre", 0.1),
    # CO2 at 420 ppm in pure water holds 10^-5.598 mol/kg of H+ and as much HCO3- (PHREEQC 3.8.6)
    "M-EC12": lambda: reading({"H+": 1000 * 10**-5.598, "HCO3-": 1000 * 10**-5.598}),
    "M-L0Clm": lambda: chemistry.limiting_conductivity("Cl-", Q(25, "degC")),
    "M-L0Mgp2": lambda: chemistry.limiting_conductivity("Mg+2", Q(25, "degC")),
    "M-L0Cap2": lambda: chemistry.limiting_conductivity("Ca+2", Q(25, "degC")),
    "M-L0HCO3m": lambda: chemistry.limiting_conductivity("HCO3-", Q(25, "degC")),
    "M-L0NH4p": lambda: chemistry.limiting_conductivity("NH4+", Q(25, "degC")),
    "M-ECR-H1": lambda: per_litre("Hoagland 1"),
    "M-ECR-Steiner": lambda: per_litre("Steiner"),
    "M-ECR-SonnLettuce": lambda: per_litre("Sonneveld lettuce"),
    "M-ECR-ModSonn_double": lambda: reading(MODIFIED_SONNEVELD),
    "M-EC08": lambda: calibration_standard(Q(25, "degC"), "litre"),
    "M-EC10": lambda: Q(
        20
        * (
            1
            - (calibration_standard(Q(20, "degC")) / calibration_standard(Q(25, "degC"))).m_as(
                "dimensionless"
            )
        ),
        "percent",
    ),
    "M-ECS1": lambda: chemistry.conductivity_from_cations(recipe_solution("Hoagland 1").ions),
    "M-SO-CaNO32": solubility("Ca(NO3)2.4H2O"),
    "M-SO-CuSO4": solubility("CuSO4.5H2O"),
    "M-SO-MgNO32": solubility("Mg(NO3)2.6H2O"),
    "M-SO-NH42SO4": solubility("(NH4)2SO4"),
    "M-GY01": lambda: gypsum_solubility(Q(25, "degC")),
    "M-GY03": lambda: gypsum_saturation_index(recipe_solution("Hoagland 1").ions, Q(20, "degC")),
    "M-GY05": one_tank,
    "M-GY07": two_tanks,
    "M-RHO20": lambda: water_density(Q(20, "degC")),
    "M-RHO25": lambda: water_density(Q(25, "degC")),
    "M-TW1": by_bottles("multi-nutrient fertiliser"),
    "M-TW2": by_bottles("magnesium sulfate heptahydrate"),
    "M-TW3": by_bottles("calcium nitrate fertiliser"),
    "M-PPM500": lambda: ppm_reading(Q(1.6, "mS/cm"), 500),
    "M-PPM700": lambda: ppm_reading(Q(1.6, "mS/cm"), 700),
    "M-ECR-H2": lambda: per_litre("Hoagland 2"),
    "M-ECR-Cooper": lambda: per_litre("Cooper"),
    "M-ECR-Gerbera": lambda: per_litre("Sonneveld gerbera"),
    "M-ECR-H1half": lambda: at_strength("Hoagland 1", 0.5),
    "M-ECR-H1quarter": lambda: at_strength("Hoagland 1", 0.25),
    "M-GY02": root_of_the_solubility_product,
    "M-GY05S": lambda: in_one_bottle().sulfate_lost,
    "M-GY05C": lambda: in_one_bottle().calcium_lost,
    "M-GY08": lambda: in_one_bottle().highest,
    "M-CP01": brushite("Hoagland 1"),
    "M-CP02": brushite("Steiner"),
    "M-CP03": brushite("Sonneveld lettuce"),
    "M-CP04": brushite("Cooper"),
    "S70a": lambda: read("36 g") / read("15 US gal"),
    "S70b": lambda: read("18 g") / read("15 US gal"),
    "S71": lambda: read("220 g") / read("200 mL") * load("everyday_sizes")["teaspoon", "volume"].quantity,
    "S72a": lambda: read("4 g") / read("1 US gal"),
    "S72b": lambda: read("6 g") / read("1 US gal"),
}
