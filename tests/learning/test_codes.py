"""A code is read as people write it; a name is not kept."""

import pytest
from stilltank.learning.codes import learner_code
from stilltank.units import Unreadable


@pytest.mark.parametrize("typed", ["7B-12", " 7b-12 ", "7b 12", "7B – 12", "7b_12", "７Ｂ-12"])
def test_a_code_is_read_as_people_write_it(typed):
    assert learner_code(typed) == "7B-12"


@pytest.mark.parametrize("typed", ["Marta", "marta k", "Jo", "Anneke-3", "Ольга1", "李小龍"])
def test_a_name_is_answered_with_a_nudge(typed):
    with pytest.raises(Unreadable, match="name"):
        learner_code(typed)


@pytest.mark.parametrize("typed", ["", "   ", "7B/12/3/4/5", "<b>1</b>", None, 12, "1" * 40])
def test_what_is_no_code_is_refused(typed):
    with pytest.raises(Unreadable):
        learner_code(typed)
