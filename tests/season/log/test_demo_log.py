"""The invented log of Quillgate is what its maker writes, and holds what the chapter teaches."""

import pytest
import quillgate_log
from stilltank.season import log
from stilltank.season.plan import Plan


@pytest.fixture(scope="module")
def plans():
    return {
        code: Plan.make("quillgate-tub", crop, start="2027-05-10", count=4)
        for code, crop in quillgate_log.CROPS.items()
    }


@pytest.fixture(scope="module")
def found(plans):
    return log.refit(plans, log.read(quillgate_log.FILE, plans))


def test_the_file_is_what_its_maker_writes():
    assert quillgate_log.FILE.read_text(encoding="utf-8") == quillgate_log.text()


def test_the_planted_factors_lie_in_or_near_the_ranges(found):
    for code, truth in quillgate_log.FACTORS.items():
        low, _, high = found.factors[code]
        assert low - 0.15 <= truth <= high + 0.15  # the stage lengths of the table are not those of the truth


def test_what_happened_is_noticed(found):
    """The top-up without litres, and the reading that slipped by ten centimetres; the row says of the hole itself."""
    odd = {found.log.rows[question.rows[0] - 2].tank for question in (*found.questions, *found.log.questions)}
    assert {"A", "C"} <= odd
    assert any("hole blocked" in each.events for each in found.log.of("B").visits)


def test_each_tank_says_what_comes(found):
    for code in "ABC":
        words = log.forecast(found, tank=code).words
        assert words[0].startswith(("Add ", "Nothing to add yet."))
        assert any("dry" in each for each in words)
