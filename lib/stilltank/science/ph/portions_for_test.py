"""A dose in portions that drops or strips can see, where there is no meter."""

from dataclasses import dataclass

import numpy as np

from stilltank.science.chemistry import Solution, Water, reagent_to_ph, solve
from stilltank.science.products import Acid
from stilltank.tables import number
from stilltank.units import PlainNumber, Problem, Q, Quantity, Unreadable, takes

from ._state import acid_named, dosed, litre_of, one_ph, water_of, with_alkalinity
from .dose_range import alkalinity_doubt, ph_tests, possible_waters
from .doses import Dose, acid_dose
from .portions import measure
from .titration import ph_of

_SIP = 0.05  # of a dose: less is not worth a word


@dataclass(frozen=True, eq=False)
class PortionForTest:
    """One portion, and what the test should show after it.

    Parameters
    ----------
    step : Quantity
        In mL of the acid (g of a solid), to add now.
    added : Quantity
        In mL (g), what is in by then.
    ph : float
        The pH expected once stirred.
    ph_low : float
        The lowest pH, if the water is as weak as it may be.
    ph_high : float
        The highest pH, if the water is as strong as it may be.
    reads_low : float
        The lowest pH that the test may show then.
    reads_high : float
        The highest pH that the test may show then.

    See Also
    --------
    portions_for_test : Makes them.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> print(portions_for_test(tap, 5.8, "nitric acid 0.1 mol/L").rows[0])
    Add 3.89 mL, stir, wait, test: the test shows pH 6.6 to 7.4.
    """

    step: Quantity
    added: Quantity
    ph: float
    ph_low: float
    ph_high: float
    reads_low: float
    reads_high: float

    def __str__(self) -> str:
        more = (
            ""
            if abs(self.step.magnitude - self.added.magnitude) < 1e-9
            else f" more, {measure(self.added)} in all"
        )
        return (
            f"Add {measure(self.step)}{more}, stir, wait, test: the test shows pH {self.reads_low:.1f} to "
            f"{self.reads_high:.1f}."
        )


@dataclass(frozen=True, eq=False)
class PortionsForTest:
    """A dose in portions that a test can see, and when to stop.

    Parameters
    ----------
    rows : tuple of PortionForTest
        One after the other; none where the test cannot tell the solution from the target, or the water is too
        uncertain.
    test : str
        The test, such as "drops".
    resolves : float
        The smallest change of pH that the test shows.
    stop_at : float
        As soon as the test shows this pH or less, nothing more goes in.
    rest : Quantity
        In mL (g): what may be added after the last row, in sips, if the test still shows more than ``stop_at``.
    dose : Dose or None
        The whole of it by the water as stated; None where no acid is needed.
    sentence : str
        The stop rule and the end in words.

    See Also
    --------
    portions_for_test : Makes one.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> found = portions_for_test(tap, 5.8, "nitric acid 0.1 mol/L", "strips")
    >>> len(found.rows), found.resolves, round(found.stop_at, 1)
    (2, 0.5, 6.3)
    """

    rows: tuple[PortionForTest, ...]
    test: str
    resolves: float
    stop_at: float
    rest: Quantity
    dose: Dose | None
    sentence: str

    def __str__(self) -> str:
        lines = [f"{index}. {row}" for index, row in enumerate(self.rows, start=1)]
        if self.rows:
            last = self.rows[-1]
            lines.append(
                f"After the last portion the test shows pH {last.reads_low:.1f} to {last.reads_high:.1f}."
            )
        caution = [] if self.dose is None else [self.dose.acid.caution]
        return "\n".join([*lines, self.sentence, *caution])


@takes(target=PlainNumber(5.8))
def portions_for_test(
    solution: Solution | Water,
    target: float,
    acid: Acid | str,
    test: str = "drops",
    alkalinity_by: str | Quantity = "drops",
) -> PortionsForTest:
    """Divide a dose of acid into portions that drops or strips can see, with what the test should show after each.

    Each portion moves the pH by at least what the test resolves. Together they end at the target, or above it where the
    alkalinity is not known well enough: in the weakest water possible they end no further below the target than the
    test is sure.

    Parameters
    ----------
    solution : Solution or Water
        As it is before any acid, its water with alkalinity and pH; one at a time. A water is dosed by the litre.
    target : float
        The pH wanted.
    acid : Acid or str
        The acid, or its name.
    test : {"strips", "drops", "meter"}
        What the pH is read with.
    alkalinity_by : {"strips", "drops", "meter"} or Quantity
        What the alkalinity was read with, or its doubt either way, in mg/L as CaCO3.

    Returns
    -------
    PortionsForTest
        The portions, and when to stop.

    Raises
    ------
    Unreadable
        No solution, a target that is not a number, an unknown acid, or another test.
    OutOfRange
        A target above the present pH or out of reach.
    Problem
        Several solutions or targets, or a water whose alkalinity or pH is not known.

    See Also
    --------
    portions : With a meter.
    next_portion : After a reading outside its range.
    dose_range : How sure the dose is.

    Notes
    -----
    A test resolves half the gap between two of its colours, which is also its doubt, either way (data/dosing.csv). The
    portion before the last ends two such steps above the target where there is room for it, so that an ordinary water
    is not stopped too early; where there is none, it may end a little high, which does less harm than too low. A
    report that is wrong by half shows only as a reading below its range: then stop.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> rows = portions_for_test(tap, 5.8, "nitric acid 0.1 mol/L", "drops").rows
    >>> [f'{row.added.m_as("mL"):.0f} mL: pH {row.ph:.1f}, shown as {row.reads_low:.1f} to {row.reads_high:.1f}'
    ...  for row in rows]
    ['4 mL: pH 7.0, shown as 6.6 to 7.4', '12 mL: pH 6.4, shown as 6.0 to 6.8', '20 mL: pH 5.8, shown as 5.3 to 6.2']
    """
    name = "portions_for_test"
    own = water_of(solution, name)
    bottle, wanted = acid_named(acid, name), one_ph(target, "target", name)
    if not isinstance(test, str) or test not in ph_tests():
        raise Unreadable(f"We do not know the pH test {test!r}. Write {', '.join(ph_tests())}.")
    if own.ph is None or own.alkalinity is None:
        raise Problem(f"{name} needs a water with an alkalinity and a pH, such as a test kit shows.")
    doubt = number("dosing", test, "pH", "1")
    now = float(ph_of(solution))
    if wanted <= now < wanted + doubt:
        return PortionsForTest(
            (), test, doubt, wanted + doubt, Q(0.0, "mL"), None,
            f"The solution is at about pH {now:.1f}, and {_named(test)} cannot tell that from {wanted:g}. Add nothing.",
        )  # fmt: skip
    whole = acid_dose(solution, wanted, bottle)
    alkalinities, phs = possible_waters(
        own, alkalinity_doubt(alkalinity_by, float(own.alkalinity.m_as("mg/L"))), doubt
    )
    waters = with_alkalinity(solution, alkalinities, phs).state()
    litre = float(litre_of(solution.state()))
    full = float(whole.amount.m_as("mmol/L"))
    safe = np.maximum(reagent_to_ph(waters, wanted - doubt, bottle.reagent, None).dose, 0.0) * 1000 * litre
    last = max(min(full, float(np.min(safe))), 0.0)
    state = solution.state()
    end = float(solve(dosed(state, bottle, last), None).ph)
    per = _whole(whole)
    if now - end < doubt:
        return PortionsForTest(
            (), test, doubt, wanted + doubt, per, whole,
            f"The alkalinity of this water is not known well enough for portions: it may need hardly any acid, or "
            f"{measure(per)} and more. Begin with a tenth of that, stir, wait, test, and go on in such sips. Stop as "
            f"soon as the test shows pH {wanted + doubt:.1f} or less.",
        )  # fmt: skip
    amounts = [
        float(reagent_to_ph(state, ph, bottle.reagent, None).dose) * 1000 * litre
        for ph in _stops(now, end, doubt)
    ]
    rows, before = [], 0.0
    for amount in (*amounts, last):
        landing = solve(dosed(waters, bottle, amount), None).ph
        ph = float(solve(dosed(state, bottle, amount), None).ph)
        low, high = float(np.min(landing)), float(np.max(landing))
        rows.append(
            PortionForTest(
                per * (amount - before) / full, per * amount / full, ph, low, high, low - doubt, high + doubt
            )
        )
        before = amount
    rest = per * max(full - last, 0.0) / full
    return PortionsForTest(
        tuple(rows),
        test,
        doubt,
        wanted + doubt,
        rest,
        whole,
        _sentence(test, wanted, doubt, rest, (full - last) / full),
    )


def _whole(dose: Dose) -> Quantity:
    """The whole of a dose as it is measured: mL, or g of a solid."""
    return dose.mass if dose.volume is None else dose.volume  # type: ignore[return-value]


def _named(test: str) -> str:
    return {"strips": "a strip", "drops": "a drop test"}.get(test, f"a {test}")


def _stops(now: float, end: float, doubt: float) -> list[float]:
    """The pH at which each portion but the last ends."""
    room = now - (end + 2 * doubt)
    most = int(number("dosing", "portions", "most by a test", "1")) - 1
    count = min(int(room / doubt + 1e-9), most)
    if count > 0:
        return [now - room * each / count for each in range(1, count + 1)]
    return [now - doubt] if now - end >= 2 * doubt else []  # never all at once where two steps can be seen


def _sentence(test: str, wanted: float, doubt: float, rest: Quantity, left: float) -> str:
    said = (
        f"Stop as soon as the test shows pH {wanted + doubt:.1f} or less: {_named(test)} is no surer than {doubt:g} "
        "either way. If it shows less than the range of its line, stop too: the water is weaker than its report."
    )
    if left > _SIP:
        said += (
            f" If it still shows more than {wanted + doubt:.1f} at the end, add up to {measure(rest)} more in small "
            "sips: the alkalinity is not known well enough to pour it at once."
        )
    return said
