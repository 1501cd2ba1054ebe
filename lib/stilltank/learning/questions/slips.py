"""Slips: named wrong routes to an answer, each with a first hint.

A slip is a guess about a number, never about a person: "this is the number you get when ...". Every factor
comes from the unit registry, from formulas or from the numbers of the problem.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import pint

from stilltank.science.chemistry import caco3_equivalent_mass, element_share, molar_mass
from stilltank.units import Q, Quantity, write

from .draws import Answer, Numbers

Solve = Callable[[Numbers], Any]
Part = Callable[[Numbers], pint.Quantity]
"""A share of the problem at hand, percent, from its numbers."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A named wrong way to an answer: a likely mistake.

    Parameters
    ----------
    name : str
        Its name.
    when : str
        Ends the sentence "This is the number you get when".
    check : str
        The first hint: how to see it for oneself.
    wrong : callable
        Gives the answers of this way, from the numbers of the problem and its right way to solve them.

    Examples
    --------
    >>> twice = Slip("twice", "it is counted twice", "Count again.", lambda numbers, solve: [2 * solve(numbers)])
    >>> twice.wrong(Numbers(mass=18), lambda numbers: numbers.mass)
    [36]
    """

    name: str
    when: str
    check: str
    wrong: Callable[[Numbers, Solve], Iterable[Answer]]


def _times(name: str, when: str, check: str, factors: Callable[[Numbers], Iterable[float]]) -> Slip:
    """A slip that puts a factor into the answer."""

    def wrong(numbers: Numbers, solve: Solve) -> Iterator[Any]:
        right = solve(numbers)
        return (right * factor for factor in factors(numbers))

    return Slip(name, when, check, wrong)


def _again(name: str, when: str, check: str, changed: Callable[[Numbers], Iterable[Numbers]]) -> Slip:
    """A slip that solves the problem rightly with a wrong number in it."""

    def wrong(numbers: Numbers, solve: Solve) -> Iterator[Any]:
        return (solve(other) for other in changed(numbers))

    return Slip(name, when, check, wrong)


def _both(factor: float) -> tuple[float, float]:
    return factor, 1 / factor


def _share(value: Any) -> float:
    return float(value.m_as("dimensionless"))


def _density(value: Any) -> float:
    return float(value.m_as("g/mL"))


def thousandfold() -> Slip:
    """Milli for whole units: × 1000 or ÷ 1000.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> thousandfold().name
    'thousandfold'
    """
    return _times(
        "thousandfold",
        "a step of one thousand is missed, such as mg for g or mL for L",
        "Write the unit beside each number, then cancel the units one by one.",
        lambda _: _both(Q(1, "g").m_as("mg")),
    )


def tenfold() -> Slip:
    """The decimal point one place off: × 10 or ÷ 10.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> tenfold().name
    'tenfold'
    """
    return _times(
        "tenfold",
        "the decimal point has moved by one place",
        "Work it out again with round numbers, and compare the size.",
        lambda _: _both(Q(1, "cm").m_as("mm")),
    )


def percent_for_share() -> Slip:
    """Per cent used as a share of one: × 100 or ÷ 100.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> percent_for_share().name
    'percent for share'
    """
    return _times(
        "percent for share",
        "per cent is used as if it were a share of one",
        "15 % means 15 parts in 100. As a share of one it is 0.15.",
        lambda _: _both(Q(1, "dimensionless").m_as("percent")),
    )


def _gallon_for_litre(name: str, said: str, unit: str, volume: str | None) -> Slip:
    when = f"litres are counted as {said} gallons, or the other way round"
    check = f"One {said} gallon is {write(Q(1, unit))}. Look which unit stands beside the volume."
    if volume is None:
        return _times(name, when, check, lambda _: _both(Q(1, unit).m_as("L")))

    def changed(numbers: Numbers) -> Iterator[Numbers]:
        given = numbers[volume]
        litres = given.units != Q(1, unit).units
        yield numbers.but(**{volume: Q(given.m_as("L"), unit) if litres else Q(given.m_as(unit), "L")})

    return _again(name, when, check, changed)


def us_gallon_for_litre(volume: str | None = None) -> Slip:
    """Litres taken as US gallons or the reverse; ``volume`` names the number, None: in the answer itself.

    Parameters
    ----------
    volume : str, optional
        The name of the number that is a volume; the answer itself when left out.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> us_gallon_for_litre().name
    'US gallon for litre'
    """
    return _gallon_for_litre("US gallon for litre", "US", "gallon", volume)


def imperial_gallon_for_litre(volume: str | None = None) -> Slip:
    """Litres taken as imperial gallons or the reverse.

    Parameters
    ----------
    volume : str, optional
        The name of the number that is a volume; the answer itself when left out.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> imperial_gallon_for_litre().name
    'imperial gallon for litre'
    """
    return _gallon_for_litre("imperial gallon for litre", "imperial", "imperial_gallon", volume)


def imperial_for_us_gallon(volume: str) -> Slip:
    """A US gallon taken as an imperial one: ``volume`` names the number, in gallons.

    Parameters
    ----------
    volume : str
        The name of the number that is a volume.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> imperial_for_us_gallon("volume").name
    'imperial for US gallon'
    """
    return _again(
        "imperial for US gallon",
        "a US gallon is taken as an imperial gallon",
        f"A US gallon is {write(Q(1, 'gallon'))}, an imperial gallon {write(Q(1, 'imperial_gallon'))}.",
        lambda numbers: [numbers.but(**{volume: Q(numbers[volume].m_as("gallon"), "imperial_gallon")})],
    )


def fluid_ounces_for_ounces() -> Slip:
    """Ounces of weight taken as fluid ounces of water, or the reverse.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> fluid_ounces_for_ounces().name
    'fluid ounces for ounces'
    """
    return _times(
        "fluid ounces for ounces",
        "ounces of weight and fluid ounces are mixed up",
        f"An ounce of weight is {write(Q(1, 'oz').to('g'))}. "
        f"A US fluid ounce is a volume, {write(Q(1, 'fluid_ounce').to('mL'))}.",
        lambda _: _both(Q(1, "fluid_ounce").m_as("mL") / Q(1, "oz").m_as("g")),
    )


def compound_for_element(part: Part) -> Slip:
    """The whole salt counted as the element that was wanted.

    Parameters
    ----------
    part : callable
        Gives the share from the numbers of the problem, such as that of an element in a salt.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> compound_for_element(lambda n: n.share).name
    'compound for element'
    """
    return _times(
        "compound for element",
        "all of the salt is counted as the element",
        "Only a part of the salt is the element. Find that part first.",
        lambda numbers: [1 / _share(part(numbers))],
    )


def element_for_compound(part: Part) -> Slip:
    """The mass of the element given where the mass of the salt was wanted.

    Parameters
    ----------
    part : callable
        Gives the share from the numbers of the problem, such as that of an element in a salt.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> element_for_compound(lambda n: n.share).name
    'element for compound'
    """
    return _times(
        "element for compound",
        "the mass of the element is given, and not that of the salt",
        "The salt holds other things as well, so you need more salt than element.",
        lambda numbers: [_share(part(numbers))],
    )


def share_upside_down(part: Part, divided: bool = True) -> Slip:
    """Multiplied by a share where the way is to divide by it, or the reverse (``divided=False``).

    Parameters
    ----------
    part : callable
        Gives the share from the numbers of the problem, such as that of an element in a salt.
    divided : bool
        True where the right way divides by the share.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> share_upside_down(lambda n: n.share).name
    'share upside down'
    """
    return _times(
        "share upside down",
        "the share is used upside down"
        + (": times the share, and not divided by it" if divided else ": divided by it, and not times it"),
        "Ask first: must the answer be more or less than what you started from?",
        lambda numbers: [_share(part(numbers)) ** (2 if divided else -2)],
    )


def oxide_for_element(oxide: str, element: str) -> Slip:
    """A label's oxide taken as the element, or the factor used the wrong way: P2O5 and P, K2O and K.

    Parameters
    ----------
    oxide : str
        The formula on the label, such as ``"P2O5"``.
    element : str
        The symbol of the element, such as ``"P"``.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> oxide_for_element("P2O5", "P").name
    'oxide for element'
    """
    return _times(
        "oxide for element",
        f"{oxide} is counted as {element}, or {element} as {oxide}",
        f"A label gives {oxide}, which holds oxygen too. {element} is {write(element_share(oxide, element))} of it.",
        lambda _: _both(_share(element_share(oxide, element))),
    )


def nitrate_for_nitrogen() -> Slip:
    """Nitrate taken for the nitrogen in it, or the reverse.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> nitrate_for_nitrogen().name
    'nitrate for nitrogen'
    """
    return _times(
        "nitrate for nitrogen",
        "nitrate and the nitrogen in it are mixed up",
        f"Nitrate is NO3. Only {write(element_share('NO3', 'N'))} of it is nitrogen.",
        lambda _: _both(_share(element_share("NO3", "N"))),
    )


def hydrate_for_anhydrous(hydrate: str, dry: str) -> Slip:
    """A salt with crystal water taken as the dry salt, or the reverse; both as formulas.

    Parameters
    ----------
    hydrate : str
        The formula of the salt with its crystal water.
    dry : str
        The formula of the same salt without water.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> hydrate_for_anhydrous("MgSO4.7H2O", "MgSO4").name
    'hydrate for dry salt'
    """
    return _times(
        "hydrate for dry salt",
        "the water in the crystals is left out or put in wrongly",
        f"Read the formula on the bag. {hydrate} carries water in its crystals, and {dry} does not.",
        lambda _: _both(float((molar_mass(hydrate) / molar_mass(dry)).m_as("dimensionless"))),
    )


def bicarbonate_for_calcium_carbonate() -> Slip:
    """Alkalinity as CaCO3 taken as bicarbonate: one CaCO3 counts as two bicarbonates.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> bicarbonate_for_calcium_carbonate().name
    'bicarbonate for CaCO3'
    """
    return _times(
        "bicarbonate for CaCO3",
        "alkalinity as CaCO3 and as bicarbonate are mixed up",
        "Read what stands behind the number in the report: CaCO3, or HCO3.",
        lambda _: _both(float((2 * molar_mass("HCO3") / molar_mass("CaCO3")).m_as("dimensionless"))),
    )


def calcium_carbonate_for_charge() -> Slip:
    """One CaCO3 taken for one charge, or the reverse: it takes up two H+.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> calcium_carbonate_for_charge().name
    'CaCO3 for its charge'
    """
    return _times(
        "CaCO3 for its charge",
        "one CaCO3 is counted as one charge, where it is two",
        "One CaCO3 takes up two H+. So half of its weight belongs to each.",
        lambda _: _both(
            float((molar_mass("CaCO3") / Q(caco3_equivalent_mass(), "g/mol")).m_as("dimensionless"))
        ),
    )


def molarity_for_normality(protons: Callable[[Numbers], float]) -> Slip:
    """The H+ of a molecule left out, or counted twice; ``protons`` is how many it gives.

    Parameters
    ----------
    protons : callable
        Gives how many H+ one molecule has, from the numbers of the problem.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> molarity_for_normality(lambda n: 2).name
    'molecules for H+'
    """

    def factors(numbers: Numbers) -> tuple[float, ...]:
        each = float(protons(numbers))
        return () if each == 1 else _both(each)

    return _times(
        "molecules for H+",
        "a molecule of the acid is counted as one H+, or its H+ counted twice",
        "Ask how many H+ one molecule gives, and put that number in once.",
        factors,
    )


def percent_by_volume(density: Part) -> Slip:
    """Per cent of the mass taken as grams in 100 mL, so that the density is left out.

    Parameters
    ----------
    density : callable
        Gives the density from the numbers of the problem.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> percent_by_volume(lambda n: n.density).name
    'percent by volume'
    """
    return _times(
        "percent by volume",
        "per cent of the mass is taken as grams in 100 mL, so the density is left out",
        "Weigh one litre of it in your mind: the density says how heavy it is.",
        lambda numbers: [1 / _density(density(numbers))],
    )


def density_upside_down(density: Part) -> Slip:
    """Divided by the density where the way is to multiply by it.

    Parameters
    ----------
    density : callable
        Gives the density from the numbers of the problem.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> density_upside_down(lambda n: n.density).name
    'density upside down'
    """
    return _times(
        "density upside down",
        "the density is divided by, and not multiplied",
        "A litre of strong acid is heavier than a litre of water. So it holds more, not less.",
        lambda numbers: [1 / _density(density(numbers)) ** 2],
    )


def tap_water_forgotten(brings: str) -> Slip:
    """What the water brings is left out; ``brings`` names that number.

    Parameters
    ----------
    brings : str
        The name of the number that the water brings.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> tap_water_forgotten("water").name
    'tap water forgotten'
    """
    return _again(
        "tap water forgotten",
        "what the tap water brings is left out",
        "Look at the water report first. What is in the water need not be weighed.",
        lambda numbers: [numbers.but(**{brings: 0 * numbers[brings]})],
    )


def tap_water_counted_twice(brings: str) -> Slip:
    """What the water brings is counted twice; ``brings`` names that number.

    Parameters
    ----------
    brings : str
        The name of the number that the water brings.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> tap_water_counted_twice("water").name
    'tap water counted twice'
    """
    return _again(
        "tap water counted twice",
        "what the tap water brings is taken off twice",
        "Take the share of the water off once, and tick it when it is done.",
        lambda numbers: [numbers.but(**{brings: 2 * numbers[brings]})],
    )


def sign_turned(name: str) -> Slip:
    """A number is added where it should be taken off, or the reverse.

    Parameters
    ----------
    name : str
        The name of the number whose sign is turned.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> sign_turned("water").name
    'added for taken off'
    """
    return _again(
        "added for taken off",
        "one part is added that should be taken off, or the other way round",
        "Ask of each part: does it bring the answer up or down?",
        lambda numbers: [numbers.but(**{name: -1 * numbers[name]})],
    )


def ratio_upside_down(one: str | None = None, other: str | None = None) -> Slip:
    """A ratio the wrong way up: the reciprocal of the answer, or the problem with two numbers swapped.

    Parameters
    ----------
    one : str, optional
        The name of the first number; the answer is turned over when left out.
    other : str, optional
        The name of the second number.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> ratio_upside_down().name
    'ratio upside down'
    """
    name, when = "ratio upside down", "a ratio is used upside down"
    check = "Say the ratio in words: how much of what, in how much of what?"
    if one is None or other is None:
        return Slip(name, when, check, lambda numbers, solve: [1 / solve(numbers)])
    return _again(
        name, when, check, lambda numbers: [numbers.but(**{one: numbers[other], other: numbers[one]})]
    )


def per_litre_for_total(volume: str) -> Slip:
    """The amount for one litre given for the whole tank.

    Parameters
    ----------
    volume : str
        The name of the number that is a volume.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> per_litre_for_total("volume").name
    'one litre for the whole tank'
    """
    return _times(
        "one litre for the whole tank",
        "the amount for one litre is given for the whole tank",
        "Multiply what one litre needs by the number of litres.",
        lambda numbers: [1 / numbers[volume].m_as("L")],
    )


def per_day_for_total(days: str) -> Slip:
    """The amount of a day given for the whole time, or the reverse; ``days`` names the time.

    Parameters
    ----------
    days : str
        The name of the number that is a time.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> per_day_for_total("days").name
    'one day for the whole time'
    """
    return _times(
        "one day for the whole time",
        "the amount of one day is given for the whole time, or the other way round",
        "Write the number of days beside the amount, and see whether it is in the answer once.",
        lambda numbers: _both(numbers[days].m_as("day")),
    )


def weeks_for_days() -> Slip:
    """Weeks taken as days: × 7 or ÷ 7.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> weeks_for_days().name
    'weeks for days'
    """
    return _times(
        "weeks for days",
        "weeks are counted as days, or days as weeks",
        "Turn every time into days before you start.",
        lambda _: _both(Q(1, "week").m_as("day")),
    )


def final_for_added_volume(recompute: Callable[[Numbers], Answer]) -> Slip:
    """The wrong referent: the volume added for the volume in the end; ``recompute`` solves it on that base.

    Parameters
    ----------
    recompute : callable
        Solves the problem with the volume that was added.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> final_for_added_volume(lambda n: n.added).name
    'final for added volume'
    """
    return Slip(
        "final for added volume",
        "the volume added is taken for the final volume",
        "Ask: in how much liquid is it, when all is poured together?",
        lambda numbers, _: [recompute(numbers)],
    )


def area_left_out(depth: str) -> Slip:
    """A depth in cm given as a volume in L; ``depth`` names the number.

    Parameters
    ----------
    depth : str
        The name of the number that is a depth.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> area_left_out("depth").name
    'area left out'
    """
    return Slip(
        "area left out",
        "a depth in cm is used as a volume in L",
        "A volume is a depth times an area. Look for the area of the tank.",
        lambda numbers, _: [Q(numbers[depth].m_as("cm"), "L")],
    )


def ph_taken_as_linear(one: str, other: str) -> Slip:
    """How many times more acid: the two pH values divided, or one taken from the other.

    Parameters
    ----------
    one : str
        The name of the first number.
    other : str
        The name of the second number.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> ph_taken_as_linear("first", "second").name
    'pH taken as linear'
    """

    def wrong(numbers: Numbers, _: Solve) -> Iterator[float]:
        first, second = (_number(numbers[name]) for name in (one, other))
        yield abs(first - second)
        yield from _both(first / second)

    return Slip(
        "pH taken as linear",
        "pH is treated as a plain scale",
        "Each whole step of pH is a factor of ten.",
        wrong,
    )


def ph_averaged(*names: str) -> Slip:
    """The pH values averaged as plain numbers.

    Parameters
    ----------
    *names : str
        The names of the numbers that are pH values.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> ph_averaged("first", "second").name
    'pH averaged'
    """
    return Slip(
        "pH averaged",
        "the pH values are averaged as plain numbers",
        "Turn each pH into an amount of acid, average those, then turn back.",
        lambda numbers, _: [sum(_number(numbers[name]) for name in names) / len(names)],
    )


def change_reversed(start: str | None = None) -> Slip:
    """The change goes the wrong way: the answer's sign turned, or mirrored at the number it ``start``-s from.

    Parameters
    ----------
    start : str, optional
        The name of the number from which the change begins; the sign of the answer is turned when left out.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> change_reversed().name
    'change reversed'
    """

    def wrong(numbers: Numbers, solve: Solve) -> Iterator[Any]:
        right = solve(numbers)
        yield -right if start is None else numbers[start] + (numbers[start] - right)

    return Slip(
        "change reversed",
        "the change goes the other way",
        "Say first whether the number must rise or fall, and then by how much.",
        wrong,
    )


def fahrenheit_for_celsius(temperature: str | None = None) -> Slip:
    """A number in °F used as °C, in the answer or in the number named ``temperature``.

    Parameters
    ----------
    temperature : str, optional
        The name of the number that is a temperature; the answer itself when left out.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> fahrenheit_for_celsius().name
    '°F for °C'
    """

    def swapped(value: Any) -> Any:
        return Q(value.m_as("degF"), "degC")

    def wrong(numbers: Numbers, solve: Solve) -> Iterator[Any]:
        if temperature is None:
            yield swapped(solve(numbers))
        else:
            yield solve(numbers.but(**{temperature: swapped(numbers[temperature])}))

    return Slip(
        "°F for °C",
        "degrees Fahrenheit are used as degrees Celsius",
        f"A warm room is {write(Q(20, 'degC'))}, which is {write(Q(20, 'degC'), system='US')}.",
        wrong,
    )


def day_off_by_one() -> Slip:
    """Fence posts: one day too many or too few.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> day_off_by_one().name
    'one day off'
    """

    def wrong(numbers: Numbers, solve: Solve) -> Iterator[Any]:
        right = solve(numbers)
        one = Q(1, "day") if isinstance(right, Quantity) and right.check("[time]") else 1
        yield from (right - one, right + one)

    return Slip(
        "one day off",
        "the first or the last day is counted once too often, or not at all",
        "Count on your fingers from the first day, and say which day is number one.",
        wrong,
    )


def example_repeated(answer: Callable[[], Answer]) -> Slip:
    """The worked example's own number given back.

    Parameters
    ----------
    answer : callable
        Gives the answer of the example that is shown.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> example_repeated(lambda: 3.0).name
    "the example's number"
    """
    return Slip(
        "the example's number",
        "the worked example is copied with its own numbers",
        "The steps are the same, but your numbers are others. Put yours in.",
        lambda _, __: [answer()],
    )


def _number(value: Any) -> float:
    return float(value.m_as("dimensionless")) if isinstance(value, Quantity) else float(value)
