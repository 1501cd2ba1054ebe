"""Questions: numbers of one's own from a code, answers read as people write them, feedback that explains."""

from .choice import AskedChoice, ChoiceQuestion, Option
from .draws import Numbers, draw
from .judging import Feedback, State
from .question import Asked, Question
from .slips import (
    Slip,
    area_left_out,
    bicarbonate_for_calcium_carbonate,
    calcium_carbonate_for_charge,
    change_reversed,
    compound_for_element,
    day_off_by_one,
    density_upside_down,
    element_for_compound,
    example_repeated,
    fahrenheit_for_celsius,
    final_for_added_volume,
    fluid_ounces_for_ounces,
    hydrate_for_anhydrous,
    imperial_for_us_gallon,
    imperial_gallon_for_litre,
    molarity_for_normality,
    nitrate_for_nitrogen,
    oxide_for_element,
    per_day_for_total,
    per_litre_for_total,
    percent_by_volume,
    percent_for_share,
    ph_averaged,
    ph_taken_as_linear,
    ratio_upside_down,
    share_upside_down,
    sign_turned,
    tap_water_counted_twice,
    tap_water_forgotten,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
    weeks_for_days,
)
from .wording import fill

__all__ = [
    "Asked",
    "AskedChoice",
    "ChoiceQuestion",
    "Feedback",
    "Numbers",
    "Option",
    "Question",
    "Slip",
    "State",
    "area_left_out",
    "ask",
    "bicarbonate_for_calcium_carbonate",
    "calcium_carbonate_for_charge",
    "change_reversed",
    "compound_for_element",
    "day_off_by_one",
    "density_upside_down",
    "draw",
    "element_for_compound",
    "example_repeated",
    "fahrenheit_for_celsius",
    "fill",
    "final_for_added_volume",
    "fluid_ounces_for_ounces",
    "hydrate_for_anhydrous",
    "imperial_for_us_gallon",
    "imperial_gallon_for_litre",
    "molarity_for_normality",
    "nitrate_for_nitrogen",
    "oxide_for_element",
    "per_day_for_total",
    "per_litre_for_total",
    "percent_by_volume",
    "percent_for_share",
    "ph_averaged",
    "ph_taken_as_linear",
    "ratio_upside_down",
    "share_upside_down",
    "sign_turned",
    "tap_water_counted_twice",
    "tap_water_forgotten",
    "tenfold",
    "thousandfold",
    "us_gallon_for_litre",
    "weeks_for_days",
]


def ask(question: str | Question | ChoiceQuestion, code: str) -> Asked | AskedChoice:
    """Ask a question of the learner with this code.

    Parameters
    ----------
    question : str, or a question
        The id of a question in ``learning.bank``.
    code : str
        Such as ``"7B-12"``: the same code gets the same numbers on every computer. Never a name.

    Returns
    -------
    Asked, or AskedChoice where there are options
        ``.text``, ``.numbers``, ``.answer(typed, attempt=1)``; printing it shows it with its code.

    Raises
    ------
    Problem      no question has that id; the sentence names near ones
    Unreadable   no code, or what looks like a name

    Example
    -------
    >>> asked = ask("mixing-label-phosphorus", "7B-12")
    >>> asked.numbers.label.m_as("percent"), round(asked.right.m_as("percent"), 2)
    (18.0, 7.86)
    >>> asked.answer("18 %").slips
    ('oxide for element',)
    """
    from ..bank import find

    known: Question | ChoiceQuestion = find(question) if isinstance(question, str) else question
    return known.ask(code)
