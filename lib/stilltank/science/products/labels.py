"""What a fertiliser label leaves out: the ions of a product balance, the figures of its label rarely do."""

from collections.abc import Mapping

from stilltank import tables
from stilltank.science.chemistry import find_ion, from_label, ions, molar_mass
from stilltank.units import OutOfRange, Problem, Q, Quantity, Unreadable, one_value, within

_OXIDES = ("P2O5", "K2O", "MgO", "SO3", "CaO")
_NITROGEN = ("n", "nitrogen", "total nitrogen", "total n")


def released(name: str, shares: Mapping[str, Quantity]) -> dict[str, float]:
    """What a product releases by the shares on its label: mmol of each ion from a gram."""
    if not isinstance(shares, Mapping) or not shares:
        raise Unreadable(
            f'Salt.from_label needs the shares as {{"K2O": Q(26, "percent"), ...}}; you gave {shares!r}.'
        )
    release: dict[str, float] = {}
    written: dict[str, str] = {}
    total = 0.0
    for label, value in shares.items():
        share = one_value(value, "percent", str(label), "Salt.from_label")
        within(
            share, 0, 100, f"A label share lies between 0 and 100 percent; {label} = {{value:g}} does not."
        )
        total += share
        key, gram, part = _named(label)
        if key in written:
            raise Unreadable(
                f"{label} and {written[key]} are the same element twice. Keep the one on the label."
            )
        written[key] = str(label)
        release[key] = 10 * share * part / gram
    _no_more_than_all(
        name, total, "The shares of {name!r} add up to {total:.4g} percent, more than all of it."
    )
    whole = sum(mmol * ions()[key].molar_mass for key, mmol in release.items()) / 10
    room = tables.number("mixing", "label", "rounding of the mass", "percent")
    _no_more_than_all(
        name, whole - room,
        f"The shares of {{name!r}} as salts would weigh {whole:.0f} % of the bag, more than all of it. Labels print "
        "phosphorus and potassium as P2O5 and K2O: write these names, or check the figures.",
    )  # fmt: skip
    return release


def _no_more_than_all(name: str, total: float, sentence: str) -> None:
    if total > 100:
        raise OutOfRange(sentence.format(name=name, total=total))


def _named(label: object) -> tuple[str, float, float]:
    """The ion a label means, g for a mol as the label counts it, and the part of the figure that counts."""
    plain = str(label).strip()
    oxide = next((each for each in _OXIDES if each.lower() == plain.lower()), None)
    if oxide is not None:
        ((element, part),) = from_label(**{oxide.lower(): Q(100, "percent")}).items()
        key, formula = find_ion(element) or ("", "")
        return key, molar_mass(formula).m_as("g/mol"), part.m_as("dimensionless")
    found = find_ion(plain)
    if found is None:
        if plain.lower() in _NITROGEN:
            raise Unreadable(
                f"{label!r} does not say which nitrogen. Write NO3-N, NH4-N and urea-N as the small print of the label "
                "gives them."
            )
        raise Unreadable(
            f'"{label}" is not a word we know from labels. Write NO3-N, NH4-N, urea-N, P2O5, K2O, CaO, MgO, SO3, '
            "elements such as P, K, Ca, Mg, S, Cl, Fe, Mn, or Fe as EDTA, Fe as DTPA, Fe as EDDHA."
        )
    key, formula = found
    return key, molar_mass(formula).m_as("g/mol"), 1.0


def balanced(name: str, release: Mapping[str, float]) -> tuple[dict[str, float], tuple[str, ...]]:
    """The ions of a product with what its label leaves out, and a sentence on each thing that was added."""
    closed = dict(release)
    notes = list(_urea(name, release))
    charges = {key: mmol * ions()[key].charge for key, mmol in release.items()}
    gap = sum(charges.values())
    whole = sum(abs(each) for each in charges.values())
    if abs(gap) < 1e-9 * max(whole, 1e-9):
        return closed, tuple(notes)
    if gap > 0:
        ion, sentence = _anion(name, release, charges, gap, whole)
    else:
        ion, sentence = _cation(name, release, charges, -gap, whole)
    added = abs(gap / ions()[ion].charge)
    closed[ion] = closed.get(ion, 0.0) + added
    if abs(gap) < _rounding("gap worth a word") * whole:
        return closed, tuple(notes)
    percent = added * molar_mass(ions()[ion].element or "H").m_as("g/mol") / 10
    figure = f"{percent:.2g}" if percent < 10 else f"{percent:.0f}"
    return closed, (*notes, sentence.format(figure=figure, mmol=f"{added:.2g}"))


def _urea(name: str, release: Mapping[str, float]) -> tuple[str, ...]:
    mmol = release.get("urea", 0.0)
    if not mmol:
        return ()
    share = 2 * mmol * molar_mass("N").m_as("g/mol") / 10
    return (
        f"{name}: its {share:.3g} % N as urea is not counted, for plants take up little of it before microbes have "
        "changed it, which a still tank cannot be relied on for.",
    )


def _small(gap: float, whole: float) -> bool:
    """Whether rounded figures explain a gap, mmol of charge in a gram."""
    figures = tables.number("mixing", "label", "rounding of the figures", "mmol/g")
    return gap <= max(_rounding("rounding of the charge") * whole, min(figures, whole / 2))


def _rounding(item: str) -> float:
    return tables.number("mixing", "label", item, "dimensionless")


def _anion(
    name: str, release: Mapping[str, float], charges: Mapping[str, float], gap: float, whole: float
) -> tuple[str, str]:
    """What supplies missing negative charge."""
    # sulfate can be the partner of all but calcium
    others = sum(max(charge, 0.0) for key, charge in charges.items() if key != "Ca+2")
    if not _small(gap - min(others, gap), whole):
        raise Problem(
            f"{name}: the label names calcium and too little beside it. Calcium that dissolves comes with nitrate or "
            "chloride: add NO3-N or Cl as the label gives them."
        )
    mass = sum(mmol * ions()[key].molar_mass for key, mmol in release.items()) / 10
    most = 100 + tables.number("mixing", "label", "rounding of the mass", "percent")
    sulfate = "more than it names" if release.get("SO4-2") else "which labels often leave out"
    for ion, words in (
        ("SO4-2", f"{{figure}} % S (sulfate), {sulfate}."),
        ("Cl-", "{figure} % chloride, for so much sulfate has no room in it."),
    ):
        filled = mass + gap / -ions()[ion].charge * ions()[ion].molar_mass / 10
        if filled <= most:
            _sure_of_potassium(name, release, charges, filled)
            return ion, f"{name}: the label names too little negative charge; counted as {words}"
    raise Problem(
        f"{name}: the label names far more positive than negative charge, and neither sulfate nor chloride has room in "
        "it. It may be an alkaline product, such as diammonium phosphate, a carbonate or a silicate, which is not "
        "reckoned with here; or check the figures."
    )


def _sure_of_potassium(
    name: str, release: Mapping[str, float], charges: Mapping[str, float], filled: float
) -> None:
    """Potassium alone may come as a bicarbonate or a silicate: only sulfate and chloride of potash fill the bag."""
    alone = release.get("K+", 0.0) > 0 and all(charge >= 0 for charge in charges.values())
    if alone and filled < tables.number("mixing", "label", "bag of one salt", "percent"):
        raise Problem(
            f"{name}: the label names potassium and nothing that goes with it: it may be a sulfate or a chloride, or a "
            "bicarbonate or a silicate, which raise the pH. Add S, SO3 or Cl if the label gives one. To raise a pH, "
            'use products.base, such as "potassium hydrogen carbonate"; silicates are not reckoned with here.'
        )


def _cation(
    name: str, release: Mapping[str, float], charges: Mapping[str, float], gap: float, whole: float
) -> tuple[str, str]:
    """What supplies missing positive charge."""
    chelate = -sum(charge for key, charge in charges.items() if key.startswith("Fe") and charge < 0)
    if gap <= chelate * (1 + 1e-9):
        return "Na+", f"{name}: counted with {{figure}} % sodium, the usual partner of its iron chelate."
    if _small(gap - chelate, whole):
        nitrate_alone = release.get("NO3-") and not release.get("NH4+")
        ask = "; if part of its nitrogen is ammonium, write NH4-N too" if nitrate_alone else ""
        return "Na+", (
            f"{name}: the label names a little more negative than positive charge, as rounded figures do; counted with "
            f"{{figure}} % sodium, which does nothing to the pH{ask}."
        )
    if gap <= release.get("H2PO4-", 0.0) * (1 + 1e-9):
        return "H+", (
            f"{name}: the label names too little positive charge; {{mmol}} mmol in a gram is counted as acid (H+) on "
            "its phosphate, as in urea phosphate and acidic liquids. If potassium, calcium, magnesium or ammonium is "
            "missing, add it."
        )
    raise Problem(
        f"{name}: the label names far more negative than positive charge. Add what is missing, such as K2O, Ca, Mg or "
        "NH4-N, as the label gives it."
    )
