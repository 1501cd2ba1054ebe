"""Labels as people copy them from bags; these bags are invented."""

import pytest
from stilltank.science.products import read_label
from stilltank.units import Unreadable

COPIED = """Total nitrogen (N) 5.0%
   5.0% nitrate nitrogen
Available phosphate (P2O5) ... 12%
Soluble potash (K2O): 26 %
Magnesium (Mg) 6.0%
Sulfur (S) 8%
Iron (Fe) 0,3 % EDTA chelate
Manganese (Mn) 0.05%, Boron (B) 0.05 %
"""


def plain(text):
    return {name: float(share.m_as("percent")) for name, share in read_label(text).items()}


def test_a_label_copied_line_by_line():
    assert plain(COPIED) == {
        "N": 5, "NO3-N": 5, "P2O5": 12, "K2O": 26, "Mg": 6, "S": 8, "Fe as EDTA": 0.3, "Mn": 0.05, "B": 0.05,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("5-12-26", {"N": 5, "P2O5": 12, "K2O": 26}),
        ("0-0-50", {"K2O": 50}),
        ("NO3-N 14,4; NH4-N 1,1; CaO 26,5", {"NO3-N": 14.4, "NH4-N": 1.1, "CaO": 26.5}),
        (
            "14.4 % nitrate nitrogen, 1.1 % ammoniacal nitrogen, 19 % Ca",
            {"NO3-N": 14.4, "NH4-N": 1.1, "Ca": 19},
        ),
        ("water soluble magnesium oxide (MgO) 16 %", {"MgO": 16}),
        ("phosphorus 5.2, potash 26", {"P": 5.2, "K2O": 26}),
        ("urea-N 10; iron DTPA 0.1; Mn EDTA 0.05", {"urea-N": 10, "Fe as DTPA": 0.1, "Mn": 0.05}),
        ("20-20-20 with 10 % urea nitrogen", {"N": 20, "P2O5": 20, "K2O": 20, "urea-N": 10}),
    ],
)
def test_other_ways_to_write_it(text, means):
    assert plain(text) == means


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The label is empty"),
        (None, "The label is empty"),
        ("K2O", "has no figure"),
        ("K2O 26 27", "has 2 figures"),
        ("vitamins 5", "names nothing we know"),
        ("nitrate 14", "nitrate-N for the nitrogen"),
        ("K2O 20; K2O 25", "twice, as 20 and 25 %"),
        ("K2O 0", "nothing above 0 %"),
    ],
)
def test_what_cannot_be_read_is_asked(text, says):
    with pytest.raises(Unreadable, match=says):
        read_label(text)
