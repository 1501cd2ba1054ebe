"""The filter against sums that somebody else states."""

from datetime import date

import numpy as np
import pytest
from stilltank.science import budget, crops, refit
from stilltank.science.refit.particle_filter import Follower, Members, weighted_quantiles
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

START = date(2027, 5, 10)


def scenario(**choices):
    return budget.Scenario.make(
        "quillgate-tub", crops.Plants("basil", 4), "quillgate", start=START, **choices
    )


def seen(day, level, **more):
    return refit.Observation(day=date(2027, *day), level=Q(level, "cm"), **more)


def test_one_reading_moves_the_level_as_a_normal_prior_and_a_normal_reading_do():
    """Two normals multiply: the mean is weighted by the precisions (GUM; any textbook of estimation)."""
    rng, count = np.random.default_rng(5), 200_000
    setting = scenario().plain
    volume = 20 + 2 * rng.standard_normal(count)
    members = Members(volume, *(np.zeros(count) for _ in range(5)), np.full(count, 1 / count))
    follower = Follower(setting, None, None, None, rng)
    reading = refit.Observation(day=START, volume=Q(17, "L"), doubt=Q(1.5, "L"), stick=False)
    found = follower.weigh(members, reading)
    gain = 2**2 / (2**2 + 1.5**2)
    mean = float(np.sum(members.weight * members.volume))
    spread = float(np.sqrt(np.sum(members.weight * (members.volume - mean) ** 2)))
    # 3 in 100 members jump before and 3 in 100 readings may be wrong: hence a little wider than the textbook
    assert mean == pytest.approx(20 - 3 * gain, abs=0.1)
    assert spread == pytest.approx(2 * np.sqrt(1 - gain), rel=0.12)
    assert found.distance == pytest.approx(-3 / np.hypot(2, 1.5), abs=0.02)


def test_the_effective_number_of_equal_weights_is_their_number():
    """Kish: (sum w)^2 / sum w^2; of two members of ten with all the weight it is 2."""
    weight = np.array([0.5, 0.5] + [0.0] * 8)
    members = Members(*(np.arange(10.0) for _ in range(6)), weight)
    assert members.effective == pytest.approx(2)
    members.pick(np.random.default_rng(1))
    assert set(np.unique(members.volume)) <= {0.0, 1.0}
    assert members.weight.sum() == pytest.approx(1)


def test_weighted_quantiles():
    assert weighted_quantiles(np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 2.0]), (0.2, 0.5, 0.9)) == [
        1,
        2,
        3,
    ]


def test_the_same_log_gives_the_same_fit_in_any_order():
    rows = [seen((5, 20), 23.0), seen((6, 1), 20.0), seen((6, 8), 17.0)]
    first, second = (refit.refit(scenario(), each, members=500) for each in (rows, rows[::-1]))
    assert first.factor == second.factor
    assert first.forecast(30).level("2027-06-20") == second.forecast(30).level("2027-06-20")


def test_thirsty_plants_and_thrifty_ones_are_told_apart():
    thirsty, thrifty = (
        refit.refit(scenario(), [seen((6, 1), first), seen((6, 15), last)], members=2000).factor
        for first, last in ((19.0, 6.0), (23.5, 19.0))
    )
    assert thirsty[0] > thrifty[2]


def test_one_wrong_reading_does_little():
    rows = [
        seen((5, 24), 23.5),
        seen((6, 1), 21.5),
        seen((6, 5), 20.0),
        seen((6, 12), 17.0),
        seen((6, 15), 15.5),
    ]
    wrong = [*rows[:3], seen((6, 8), 11.0), *rows[3:]]
    right, other = (refit.refit(scenario(), each, members=2000) for each in (rows, wrong))
    assert abs(right.factor[1] - other.factor[1]) < 0.3
    assert abs(other.surprises[3].distance) > 2.5


def test_a_level_above_the_hole_says_that_it_was_blocked():
    hole = Q(25.5, "cm")
    rows = [seen((5, 20), 24.0), seen((6, 1), 28.0, rain=Q(60, "mm"))]
    found = refit.refit(scenario(overflow_height=hole), rows, members=1000)
    assert found.levels("2027-06-01")[1].m_as("cm") > 26.5


def test_what_was_poured_counts_and_unknown_top_ups_widen():
    after = [seen((6, 12), 17.0)]
    known, unknown = (
        refit.refit(scenario(), [seen((6, 11), 15.0, **more), *after][:1], members=2000).forecast(5)
        for more in ({"poured": Q(4, "L")}, {"poured_unknown": True})
    )
    widths = [
        float((each.level("2027-06-12")[2] - each.level("2027-06-12")[0]).m_as("cm"))
        for each in (known, unknown)
    ]
    assert widths[1] > 2 * widths[0]


def test_a_hot_dry_week_empties_the_tank_sooner():
    found = refit.refit(scenario(), [seen((6, 15), 17.0)], members=2000)
    usual, hot, cool = (
        found.forecast(10, week=week).level("2027-06-22")[1].m_as("cm")
        for week in (
            None,
            refit.Week(warmth="hot", rain=Q(0, "mm")),
            refit.Week(warmth="cool", rain=Q(40, "mm")),
        )
    )
    assert hot < usual < cool


def test_the_factor_of_another_procedure_is_not_carried_over():
    rows = [seen((6, 1), 21.0), seen((7, 1), 8.0), seen((7, 8), 5.0)]
    kept = refit.refit(scenario(), rows, members=1000).prior_for_next_season()
    with pytest.raises(Problem, match="reached in another way"):
        kept.of_last_season("basil", ("from temperatures",))
    next_season = kept.of_last_season("basil", kept.procedures)
    assert next_season.spread >= 0.22
    assert kept.of_last_season("zinnia", kept.procedures).spread >= 0.3


def test_alike_neighbours_narrow_and_unlike_ones_hardly_do():
    rows = [seen((5, 24), 23.0), seen((6, 1), 20.0), seen((6, 8), 15.0), seen((6, 15), 9.0)]
    neighbour = refit.refit(scenario(), rows, members=2000)
    usual = refit.Prior.usual()
    alike, unlike = (refit.from_neighbours(usual, [neighbour], share).spread for share in (0.8, 0.15))
    assert alike < 0.8 * usual.spread
    assert unlike > 0.97 * usual.spread
    # by hand, one neighbour: v0 = v - (c v)^2 / (v + r), r its spread with the prior divided out
    spread = neighbour.log_factor[1]
    doubt = 1 / (1 / spread**2 - 1 / usual.spread**2)
    by_hand = usual.spread**2 - (0.8 * usual.spread**2) ** 2 / (usual.spread**2 + doubt)
    assert alike == pytest.approx(np.sqrt(by_hand))


def test_the_interval_score_is_the_published_one():
    """Gneiting & Raftery 2007: (u - l) + 2/alpha (l - x) below; alpha 0.2, formula in secondary copies."""
    assert refit.interval_score(10, 14, 8) == pytest.approx(4 + 2 / 0.2 * 2)
    assert refit.interval_score(10, 14, 12) == pytest.approx(4)
    assert refit.interval_score(10, 14, 15, share=0.5) == pytest.approx(4 + 2 / 0.5)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: refit.refit("tub", []), Problem, "scenario"),
        (lambda: refit.refit(scenario(), ["x"]), Problem, "observations"),
        (lambda: refit.refit(scenario(), [refit.Observation(day=date(2026, 1, 1))]), OutOfRange, "first day"),
        (lambda: refit.refit(scenario(), [], members=3), OutOfRange, "members"),
        (lambda: refit.Observation(day=START, level=20), UnitNeeded, "unit"),
        (lambda: refit.Observation(day=START, level=Q(-2, "cm")), OutOfRange, "at least 0"),
        (lambda: refit.Week(warmth="warm"), Problem, "hot"),
        (lambda: refit.refit(scenario(), [], members=200).forecast(0), OutOfRange, "1 to 90"),
        (lambda: refit.refit(scenario(), [], members=200).levels("2028-01-01"), OutOfRange, "outside"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
