"""The dipstick of a plan: which heights are marked, by hand."""

import base64

import pytest
from printed import words_of
from stilltank.science import budget
from stilltank.season.paper import marked_heights, tank_dipstick
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q

PLAN = Plan.make(count=4)


def test_heights_by_hand():
    """A tub 30 cm high with pots of 7 cm: they end at 23 cm, 2 cm in the solution; the hole 5 mm higher."""
    found = {one.words: one for one in marked_heights(PLAN)}
    for words, level in (("overflow hole", 25.5), ("fill line", 25), ("pots hang clear", 23)):
        assert found[words].level.m_as("cm") == pytest.approx(level)
    full = PLAN.tank.volume(Q(25, "cm"))
    for words, share in (
        ("end from here", 0.2),
        ("end by here", 0.1),
    ):  # data/budget.csv: 10 to 20 % of the filling
        assert PLAN.tank.volume(found[words].level).m_as("L") == pytest.approx(share * full.m_as("L"))
    assert len({(one.words, one.line) for one in found.values()}) == 5


def test_a_hole_and_a_routine_of_ones_own_are_marked():
    plan = PLAN.change(hole=Q(26, "cm"), top_up=budget.by_hand(3, Q(14, "cm")))
    found = {one.words: one.level.m_as("cm") for one in marked_heights(plan)}
    assert (found["overflow hole"], found["top up to here"]) == (26, 14)
    assert list(found.values()) == sorted(found.values(), reverse=True)


def test_it_is_written_in_both_systems(tmp_path):
    page, pdf = tank_dipstick(PLAN, tmp_path / "stick", system="US", paper="Letter")
    text = page.read_text(encoding="utf-8")
    assert "fill line 9 7/8 in" in words_of(text)
    assert "US quarts" in base64.b64decode(text.split("base64,")[1].split('"')[0]).decode()
    assert pdf.read_bytes().startswith(b"%PDF")
    for call in (
        lambda: tank_dipstick(PLAN.tank, tmp_path / "x"),
        lambda: tank_dipstick(PLAN, tmp_path / "x", paper="A3"),
        lambda: tank_dipstick(PLAN, tmp_path / "x", system="old"),
    ):
        with pytest.raises(Problem):
            call()
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize("tub", ["jar-4", "bed-90", "tote-60", "quillgate-tub"])
def test_every_ready_made_tank_has_a_stick(tub, tmp_path):
    page, _ = tank_dipstick(Plan.make(tub, "lettuce", count=1), tmp_path / "stick")
    assert page.exists()
