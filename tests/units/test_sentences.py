"""Words put together as a sentence needs them."""

import pytest
from stilltank.units import Unreadable, all_of, capital


def test_a_sentence_begins_with_a_capital_and_keeps_the_rest():
    assert capital("adds 3 mg/L") == "Adds 3 mg/L"
    assert capital("") == ""


@pytest.mark.parametrize(
    ("words", "said"), [([], ""), (["K"], "K"), (("N", "K"), "N and K"), (["N", "P", "K"], "N, P and K")]
)
def test_the_last_of_several_comes_after_and(words, said):
    assert all_of(words) == said


@pytest.mark.parametrize("wrong", ["NPK", 7, None, ["N", 3]])
def test_what_is_no_list_of_texts_is_refused(wrong):
    with pytest.raises(Unreadable, match="list of texts"):
        all_of(wrong)
