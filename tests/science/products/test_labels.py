"""Products by labels as bags print them, all invented: the balance is closed, and the dose is one that people use."""

import numpy as np
import pytest
from stilltank.science.chemistry import element_share
from stilltank.science.mixing import Water, mix, stocks, strength_from_conductivity, weigh_out
from stilltank.science.ph import acid_dose, ph_of
from stilltank.science.products import Salt, chelated_iron, salt, usual_salts
from stilltank.science.products.acid_density import bottle_density
from stilltank.units import OutOfRange, Problem, Q, Unreadable

LITRE = Q(1, "L")
HARD = Water({"Ca": Q(90, "mg/L"), "Mg": Q(10, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.5, name="hard tap")
SOFT = Water({"Ca": Q(4, "mg/L")}, alkalinity=Q(10, "mg/L"), ph=7.2, name="soft tap")

# Invented labels in the forms that bags have; none names all that it holds.
LABELS = {
    "low nitrogen, no S": {"NO3-N": 5, "P2O5": 12, "K2O": 26, "MgO": 10, "Fe as EDTA": 0.3, "Mn": 0.05, "B": 0.05},
    "low nitrogen, little S": {"NO3-N": 4, "P2O5": 18, "K2O": 38, "Mg": 0.5, "S": 0.7, "Fe as EDTA": 0.4},
    "everything": {"NO3-N": 11, "NH4-N": 1, "P2O5": 5, "K2O": 20, "CaO": 8, "MgO": 3, "Fe as DTPA": 0.15, "Mn": 0.05},
    "everything, high K": {"NO3-N": 11.8, "NH4-N": 1.2, "P2O5": 6, "K2O": 24, "CaO": 6, "MgO": 3, "Fe as DTPA": 0.1},
    "with urea": {"NO3-N": 6, "NH4-N": 4, "urea-N": 10, "P2O5": 20, "K2O": 20, "Fe as EDTA": 0.1},
    "with calcium and urea": {"NO3-N": 11.8, "NH4-N": 1.2, "urea-N": 2, "P2O5": 5, "K2O": 15, "CaO": 5.6, "MgO": 3.3},
    "flowering": {"NO3-N": 3, "NH4-N": 2, "P2O5": 30, "K2O": 20, "MgO": 2},
    "calcium nitrate": {"NO3-N": 14.4, "NH4-N": 1.1, "CaO": 26.5},
    "0-52-34": {"P2O5": 52, "K2O": 34},
    "12-61-0": {"NH4-N": 12, "P2O5": 61},
    "0-0-50": {"K2O": 50},
    "bitter salt": {"MgO": 16},
}  # fmt: skip


def product(name, **more):
    return Salt.from_label(name, {key: Q(value, "percent") for key, value in LABELS[name].items()}, **more)


def charge(each):
    from stilltank.science.chemistry import ions

    return sum(mmol * ions()[key].charge for key, mmol in each.release.items())


@pytest.mark.parametrize("name", LABELS)
def test_a_label_in_pure_water_leaves_a_believable_ph(name):
    solution = mix({product(name): Q(1, "g")}, LITRE)
    # Without carbonate a fertiliser is neutral (7.2 at 15 °C, a little more beside sulfate), or as sour as its
    # phosphate, about 4.6.
    for air in ("closed", "open"):
        assert 4.5 <= ph_of(solution, air=air) <= 7.3
    assert abs(float(solution.charge_balance.difference.m_as("mmol/L"))) < 1e-9


@pytest.mark.parametrize("name", LABELS)
@pytest.mark.parametrize("water", [HARD, SOFT], ids=["hard", "soft"])
def test_a_label_never_asks_for_more_acid_than_its_water(name, water):
    solution = mix({product(name): Q(10, "g")}, Q(10, "L"), water)
    if ph_of(solution) <= 5.8:  # its phosphate is enough for soft water
        assert water is SOFT
        assert ph_of(solution) >= 4.5
        return
    with_it = acid_dose(solution, 5.8, "nitric acid 38 %")
    alone = acid_dose(mix({}, Q(10, "L"), water), 5.8, "nitric acid 38 %")
    # At pH 5.8 about a twelfth of the phosphate has given its second H+ (pK 7.2, 6.9 among ions): so much less acid, no
    # more. Among ions carbonic acid is a little stronger, which moves the dose by a few percent.
    phosphate = solution.added.get("H2PO4-", Q(0, "mmol/L")).m_as("mmol/L")
    bare, dosed = alone.amount.m_as("mmol/L"), with_it.amount.m_as("mmol/L")
    assert 0.96 * bare - 0.1 * phosphate <= dosed <= 1.03 * bare


MIXTURES = {
    "low nitrogen": {"KNO3": 30, "KH2PO4": 25, "MgSO4.7H2O": 35, "K2SO4": 10},
    "with ammonium": {"(NH4)2SO4": 20, "KNO3": 40, "KH2PO4": 20, "MgSO4.H2O": 20},
    "with calcium": {"Ca(NO3)2.4H2O": 40, "KNO3": 30, "KH2PO4": 15, "MgSO4.7H2O": 15},
}


@pytest.mark.parametrize("parts", MIXTURES.values(), ids=MIXTURES)
def test_sulfate_left_out_of_a_label_comes_back_to_the_gram(parts):
    """A mixture of known salts, its label printed without sulfur: what is added is the sulfur of the formulas."""
    printed, sulfur = {}, 0.0
    for formula, percent in parts.items():
        sulfur += percent * element_share(formula, "S").m_as("dimensionless")
        for element in ("P", "K", "Ca", "Mg"):
            printed[element] = printed.get(element, 0.0) + percent * element_share(formula, element).m_as(
                "dimensionless"
            )
        for form in ("NO3-N", "NH4-N"):
            printed[form] = printed.get(form, 0.0) + percent / 100 * salt(formula).share(form).m_as("percent")
    mine = Salt.from_label("mine", {key: Q(value, "percent") for key, value in printed.items()})
    assert mine.share("S").m_as("percent") == pytest.approx(sulfur, rel=1e-6)
    true = mix({name: Q(percent / 100, "g") for name, percent in parts.items()}, LITRE, HARD)
    by_label = mix({mine: Q(1, "g")}, LITRE, HARD)
    assert ph_of(by_label) == pytest.approx(ph_of(true), abs=1e-6)
    assert by_label.conductivity().m_as("mS/cm") == pytest.approx(true.conductivity().m_as("mS/cm"), rel=1e-6)


def test_the_added_sulfate_by_hand_and_what_is_said():
    mine = product("low nitrogen, no S")
    # mmol of charge in a gram: K 260 x 0.83015/39.098 = 5.520, Mg 100 x 0.60304/12.1525 = 4.962, Mn 1/54.94 = 0.018;
    # N 50/14.007 = 3.570, P 120 x 0.43643/30.974 = 1.691, Fe EDTA 3/55.845 = 0.054; lacking 5.185, as S 0.5 x 32.06 mg
    assert mine.share("S").m_as("percent") == pytest.approx(8.31, abs=0.02)
    assert "8.3 % S (sulfate)" in mine.notes[0]
    recipe = weigh_out("leafy", [mine, "calcium nitrate"], Q(57, "L"))
    assert mine.notes[0] in str(mine)
    assert mine.notes[0] in str(recipe)
    assert "more than it names" in product("low nitrogen, little S").notes[0]


def test_other_ways_to_close_a_balance():
    def of(**shares):
        return Salt.from_label(
            "mine", {key.replace("_", "-"): Q(value, "percent") for key, value in shares.items()}
        )

    # potassium chloride by its oxide: K 49.81 % is 12.74 mmol, as much chloride is 45.2 %; sulfate would make 111 %
    assert of(K2O=60).share("Cl").m_as("percent") == pytest.approx(45.2, abs=0.1)
    # urea phosphate, CO(NH2)2.H3PO4: as much H+ as phosphorus; 1 g/L is sour indeed, and no alkalinity
    sour = of(urea_N=17.7, P2O5=44)
    assert sour.release["H+"] == pytest.approx(sour.release["H2PO4-"])
    assert "acid (H+)" in " ".join(sour.notes)
    assert 2.2 < ph_of(mix({sour: Q(1, "g")}, LITRE)) < 2.7
    # its nitrogen stays out of the sums, and is said: 17.7 % of a gram
    assert sour.share("N").magnitude == 0
    assert "17.7 % N as urea is not counted" in sour.notes[0]
    # an iron chelate has its sodium: 6 % Fe DTPA with two Na each is 6/55.845 x 2 x 22.99 = 4.94 %
    assert Salt.from_label("iron", {"Fe as DTPA": Q(6, "percent")}).share("Na").m_as(
        "percent"
    ) == pytest.approx(4.94, abs=0.01)
    # all nitrogen of a calcium nitrate taken for nitrate: 15.5/1.4007 - 2 x 18.94/4.0078 = 1.61 mmol of sodium
    mine = of(NO3_N=15.5, CaO=26.5)
    assert mine.share("Na").m_as("percent") == pytest.approx(3.7, abs=0.05)
    assert "write NH4-N too" in mine.notes[0]
    # a thin liquid, 1-1-5: N 0.714 and P 0.141 against K 1.062 and S 0.25 x 2 mmol: half a percent of N explains 0.29
    thin = of(NO3_N=1, P2O5=1, K2O=5, SO3=2)
    assert thin.share("Na").m_as("percent") == pytest.approx(0.29 * 2.299, abs=0.02)


@pytest.mark.parametrize(
    ("shares", "error", "words"),
    [
        ({"Ca": 20}, Problem, "nitrate or chloride"),
        ({"NO3-N": 15}, Problem, "Add what is missing"),
        ({"NH4-N": 18, "P2O5": 46}, Problem, "diammonium phosphate"),
        # potassium bicarbonate, 47 % K2O by its formula, and a liquid silicate: neither may turn into sulfate
        ({"K2O": 46}, Problem, "bicarbonate or a silicate, which raise the pH"),
        ({"K2O": 10}, Problem, "bicarbonate or a silicate, which raise the pH"),
        # 5 % Ca is 2.5 mmol of charge in a gram, and sulfate would fall out with it; magnesium can take but 1.2
        ({"Ca": 5, "Mg": 1.5}, Problem, "nitrate or chloride"),
        ({"P": 52, "K": 34}, OutOfRange, "P2O5 and K2O"),
        ({"K": 20, "K2O": 24}, Unreadable, "same element twice"),
        ({"N": 20}, Unreadable, "NO3-N, NH4-N and urea-N"),
        ({"vitamins": 2}, Unreadable, '"vitamins" is not a word we know'),
        ({}, Unreadable, "shares"),
    ],
)
def test_what_nobody_can_close_is_asked(shares, error, words):
    with pytest.raises(error, match=words):
        Salt.from_label("mine", {key: Q(value, "percent") for key, value in shares.items()})


@pytest.mark.parametrize("litres", [10, 20, 57, 200])
@pytest.mark.parametrize(
    ("shelf", "doses"),
    [
        # common practice, g/L: one bag with everything 0.8 to 2; a pair 0.5 to 1 each; three salts 0.6, 0.6 and 0.3
        (["everything"], [(0.8, 2)]),
        (["everything, high K"], [(0.8, 2)]),
        (["with urea"], [(0.8, 2)]),
        (["with calcium and urea"], [(0.8, 2)]),
        (["low nitrogen, no S", "calcium nitrate"], [(0.5, 1), (0.5, 1)]),
        (
            ["low nitrogen, little S", "calcium nitrate", "bitter salt"],
            [(0.45, 0.8), (0.45, 0.8), (0.15, 0.4)],
        ),
    ],
    ids=["one bag", "high K", "urea", "calcium and urea", "pair", "three salts"],
)
def test_bags_are_weighed_as_growers_weigh_them(shelf, doses, litres):
    recipe = weigh_out("leafy", [product(name) for name in shelf], Q(litres, "L"))
    for name, (low, high) in zip(shelf, doses, strict=True):
        assert low <= recipe.masses[name].m_as("g") / litres <= high
    assert 0.8 <= recipe.solution.conductivity().m_as("mS/cm") <= 2.5
    lines = str(recipe).splitlines()
    assert sum("Off target" in line for line in lines) == 1  # one sentence on what is missed
    assert not any("instead of" in line for line in lines)


def test_a_bag_with_traces_is_weighed_for_nitrogen_and_potassium():
    mine = product("everything")
    recipe = weigh_out(
        {n: Q(v, "mg/L") for n, v in {"N": 150, "K": 210, "Fe": 0.1, "Mn": 0.01}.items()}, [mine], LITRE
    )
    # by hand, g/L: least (120 g/150 - 1)^2 + (166 g/210 - 1)^2 at (0.8 + 0.7906)/(0.64 + 0.625) = 1.257
    assert recipe.masses["everything"].m_as("g") == pytest.approx(1.257, abs=0.002)


def test_the_dose_of_the_label_stands_beside_the_mass():
    recipe = weigh_out("leafy", [product("everything", dose=Q(36, "g") / Q(57, "L"))], Q(57, "L"))
    assert "its label says 0.63, which is 36.0 g here" in str(recipe)
    weak = Salt.from_label("weak", {"NO3-N": Q(2, "percent"), "K2O": Q(7, "percent")})
    said = str(weigh_out("leafy", [weak], Q(57, "L")))
    assert "more than the 0.3 to 2" in said
    # 2 % N is 8.9 % nitrate, 7 % K2O is 5.8 % K, and 0.3 % sulfate: 15 % of 4.35 g
    assert "4.3 g in each litre, of which 0.65 g is salts" in said
    assert "of a liquid it can be right" in said
    with pytest.raises(OutOfRange, match="Check the unit"):
        product("everything", dose=Q(36, "g") / Q(1, "L"))


def test_only_a_label_with_nitrate_is_asked_for_its_ammonium():
    assert "write NH4-N too" not in " ".join(product("0-52-34").notes)


def test_urea_alone_is_said_though_nothing_is_weighed():
    urea = Salt.from_label("urea bag", {"urea-N": Q(46, "percent")})
    assert str(urea).startswith("urea bag: nothing that is counted.")
    assert "46 % N as urea is not counted" in str(weigh_out("leafy", [urea], Q(57, "L")))


def test_two_bottles_bring_and_one_brings():
    a = {"NO3-N": 4, "K2O": 3, "Ca": 4.5, "Fe as EDTA": 0.1}
    b = {"NO3-N": 0.5, "P2O5": 3, "K2O": 6, "Mg": 1.2, "S": 1.2}
    shelf = [
        Salt.from_label(name, {key: Q(value, "percent") for key, value in shares.items()})
        for name, shares in (("liquid A", a), ("liquid B", b))
    ]
    assert "liquid A and liquid B bring several" in weigh_out("Hoagland 1", shelf, LITRE).off_target
    assert "liquid B brings several" in weigh_out("Hoagland 1", shelf[1:], LITRE).off_target


@pytest.mark.parametrize(
    "ask",
    [
        lambda: Salt.from_label("mine", {"K": Q(5, "percent"), "Cl": Q(5, "percent")}, part=np.array([1, 2])),
        lambda: weigh_out("leafy", ["KNO3"], LITRE, also="nitric acid"),
        lambda: weigh_out("leafy", ["KNO3"], LITRE, water=Water({"Ca": Q([40, 90], "mg/L")})),
        lambda: weigh_out("leafy", ["KNO3"], LITRE, also={"NO3-": Q([1, 2], "mmol/L")}),
        lambda: stocks(weigh_out("leafy", ["KNO3"], LITRE), 10**400, LITRE),
        lambda: chelated_iron(["DTPA"], Q(6, "percent")),
        lambda: strength_from_conductivity(None, Q(2, "mS/cm")),
        lambda: bottle_density(np.array([1, 2]), Q(5, "percent")),
    ],
)
def test_things_of_another_kind_get_a_sentence(ask):
    with pytest.raises(Problem):
        ask()


def test_a_recipe_in_the_wrong_place_is_named_in_short():
    recipe = weigh_out("leafy", ["KNO3"], Q(57, "L"))
    with pytest.raises(Problem) as raised:
        weigh_out("leafy", recipe, LITRE)
    assert "a Recipe for 57 L" in str(raised.value)
    assert len(str(raised.value)) < 200
    assert repr(stocks(recipe, 100, LITRE)) == "Stocks, 100 times strong"


def test_trace_salts_are_met_where_the_main_targets_are_not():
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"), HARD)
    assert {"N", "K"} & set(recipe.missed)
    for name in ("Fe", "Mn", "Zn", "B", "Cu", "Mo"):
        assert recipe.reached[name].m_as("mg/L") == pytest.approx(recipe.targets[name].m_as("mg/L"), rel=1e-6)
