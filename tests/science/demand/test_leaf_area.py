"""Leaf area from the coefficient: the equation of FAO-56, worked the other way round."""

import dataclasses

import numpy as np
import pytest
from stilltank.science import crops, demand
from stilltank.units import OutOfRange, Problem, Q


def stand(mid, height=0.8):
    """A crop whose coefficient is ``mid`` from its middle stage on; 0.8 m high has 1.08 at full cover."""
    return dataclasses.replace(
        crops.crop("lettuce"), kcb_initial=0.15, kcb_mid=mid, kcb_end=mid, height=Q(height, "m")
    )


@pytest.mark.parametrize(("leaves", "coefficient"), [(1, 0.6182), (2, 0.8507), (3, 0.9661)])
def test_it_is_equation_97_turned_round(leaves, coefficient):
    """FAO-56, Eqs 97 and 101: 0.15 + 0.93 (1 - e^(-0.7 LAI)) for LAI 1, 2, 3 is 0.6182, 0.8507, 0.9661."""
    assert demand.leaf_area_index(stand(coefficient), 400) == pytest.approx(leaves, abs=0.003)


def test_it_begins_bare_and_ends_where_more_leaves_change_nothing():
    days = np.array([1, 20, 400])
    found = demand.leaf_area_index(stand(1.3), days)
    assert found[0] == 0
    assert found[2] == pytest.approx(6)
    assert np.all(np.diff(demand.leaf_area_index("zinnia", np.arange(1, 60))) >= 0)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: demand.leaf_area_index(dataclasses.replace(stand(1), height=None), 9), Problem, "no height"),
        (lambda: demand.leaf_area_index("lettuce", -1), OutOfRange, "before transplanting"),
        (lambda: demand.leaf_area_index("moss", 1), Problem, "moss"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
