"""Drip emitters on a gravity tank."""

import numpy as np

from stilltank.science.pure_water import viscosity
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q, Unreadable, only, pure_number, said, takes, within
from stilltank.units.types import Plain, Quantity

KINDS = ("laminar", "smooth turbulent", "fully turbulent", "compensating")


def emitter_exponent(kind: str | float) -> float:
    """Return the exponent of an emitter, which says how its flow follows the head.

    Parameters
    ----------
    kind : str or float
        One of "laminar", "smooth turbulent", "fully turbulent" and "compensating", or a number from 0 to 1 from the
        data sheet.

    Returns
    -------
    float
        The exponent x in q = k H^x; 1 follows the head fully, 0 not at all.

    Raises
    ------
    Problem
        Another word.
    Unreadable
        Something that is no number and no word, or several numbers.
    OutOfRange
        A number below 0 or above 1.

    See Also
    --------
    emitter_flow : The flow at another head.

    References
    ----------
    DRIPCOURSE, exponent table.

    Examples
    --------
    >>> emitter_exponent("smooth turbulent"), emitter_exponent(0.42)
    (0.57, 0.42)
    """
    if isinstance(kind, str):
        if kind not in KINDS:
            raise Problem(
                f"We do not know an emitter called {kind!r}. Write {', '.join(KINDS[:-1])} or {KINDS[-1]}, or an "
                "exponent from 0 to 1."
            )
        return float(load("hydraulics")["emitter", kind].value)
    exponent = pure_number(kind, 0.5, "exponent", "emitter_exponent")
    if np.ndim(exponent):
        raise Unreadable(f"An emitter has one exponent; you gave {np.size(exponent)}.")
    within(exponent, 0, 1, "The exponent of an emitter is 0 to 1; {value:g} is not.")
    return float(exponent)


@takes(rated_flow="L/hour", rated_head="m", head="m", lowest_head="m", temperature="degC", returns="L/hour")
def emitter_flow(
    rated_flow: Quantity,
    rated_head: Quantity,
    exponent: str | float,
    head: Quantity,
    lowest_head: Quantity | None = None,
    temperature: Quantity | None = None,
) -> Quantity:
    """Find the flow of an emitter at another head than the rated one.

    Parameters
    ----------
    rated_flow : Quantity
        Volume in a time, from the data sheet.
    rated_head : Quantity
        Length, the height of water for that flow; a pressure of 1 bar is 10.2 m of water.
    exponent : str or float
        As for `emitter_exponent`.
    head : Quantity
        Length, from the emitter up to the level in the tank; one value or an array.
    lowest_head : Quantity, optional
        Length, one value: the least head of a compensating emitter, from the data sheet. Below it the flow is not
        known, and may be nothing.
    temperature : Quantity, optional
        Temperature of the water in a laminar emitter, 0 to 40 °C, one value or an array. The flow is rated at 20 °C,
        and without a temperature the water is taken to have that.

    Returns
    -------
    Quantity
        In L/hour, with the shape of the heads and temperatures.

    Raises
    ------
    UnitNeeded
        An argument that has no unit, or a unit of another kind.
    Unreadable
        An exponent that is no number and no word.
    OutOfRange
        No rated flow or head, a head below ``lowest_head`` or above 100 m, or water outside 0 to 40 °C.
    Problem
        Another word for the exponent, a compensating emitter without its ``lowest_head``, or a temperature for an
        emitter that is not laminar.

    See Also
    --------
    head_for_flow : The head for a wanted flow.

    Notes
    -----
    .. math:: q_2 = q_1 (H_2 / H_1)^x

    In a laminar emitter the flow also goes as one over the viscosity of the water (Poiseuille); a turbulent one
    hardly feels the temperature. Far below its rated head an emitter may clog, drip unevenly, or not open. Catch the
    water in a cup for an hour.

    References
    ----------
    DRIPCOURSE, exponent table.

    Examples
    --------
    >>> round(emitter_flow(Q(4, "L/hour"), Q(10, "m"), "fully turbulent", Q(0.5, "m")).magnitude, 3)
    0.894
    >>> warm = emitter_flow(Q(4, "L/hour"), Q(10, "m"), "laminar", Q(0.5, "m"), temperature=Q(30, "degC"))
    >>> round(warm.magnitude, 3)
    0.251
    """
    power = emitter_exponent(exponent)
    _check(rated_flow, rated_head, "emitter_flow")
    high = number("hydraulics", "emitter", "largest head", "m")
    within(head, 0, high, "emitter_flow: a head of {value} does not fit. Write {low} to {high}.", "m")
    if power == 0 and lowest_head is None:
        raise Problem(
            "emitter_flow: a compensating emitter keeps its flow only above a least head. Give lowest_head from its "
            'data sheet, such as Q(5, "m"); a tank half a metre up will hardly open it.'
        )
    if lowest_head is not None:
        least = only(lowest_head, "lowest_head", "emitter_flow")
        within(
            least, 0, high, "emitter_flow: a lowest head of {value} does not fit. Write {low} to {high}.", "m"
        )
        within(
            head,
            least,
            np.inf,
            "emitter_flow: a head of {value}, and this emitter needs {low}. Its data sheet does not say what it does "
            "below that.",
            "m",
        )
    flow = rated_flow * (np.asarray(head) / rated_head) ** power
    if temperature is None:
        return flow
    if power != 1:
        raise Problem(
            "emitter_flow: only the flow of a laminar emitter follows the temperature. Leave out `temperature`."
        )
    usual = number("budget", "tank", "usual temperature", "degC")
    return flow * (viscosity(Q(usual, "degC")) / viscosity(Q(temperature, "degC"))).m_as("dimensionless")


@takes(rated_flow="L/hour", rated_head="m", flow="L/hour", returns="m")
def head_for_flow(
    rated_flow: Quantity, rated_head: Quantity, exponent: str | float, flow: Quantity
) -> Quantity:
    """Find the head at which an emitter gives a flow, the inverse of `emitter_flow`.

    Parameters
    ----------
    rated_flow : Quantity
        Volume in a time, from the data sheet.
    rated_head : Quantity
        Length, the height of water for that flow.
    exponent : str or float
        As for `emitter_exponent`.
    flow : Quantity
        Volume in a time, the flow wanted; one value or an array.

    Returns
    -------
    Quantity
        In m of water, with the shape of ``flow``.

    Raises
    ------
    UnitNeeded
        An argument that has no unit, or a unit of another kind.
    Unreadable
        An exponent that is no number and no word.
    OutOfRange
        No flow, no rated head, or a flow that needs more than 100 m of water.
    Problem
        A compensating emitter, whose flow does not follow the head.

    See Also
    --------
    emitter_flow : Its limits hold here too.

    Examples
    --------
    >>> round(head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.42, Q(4.32, "L/hour")).magnitude, 2)
    12.01
    """
    power = emitter_exponent(exponent)
    if power == 0:
        raise Problem(
            "head_for_flow: a compensating emitter gives its rated flow at every head above its least one. Choose "
            "another emitter for another flow."
        )
    _check(rated_flow, rated_head, "head_for_flow")
    within(flow, 1e-9, 1e6, "head_for_flow: a flow of {value} per hour does not fit. Write one above 0.", "L")
    head = rated_head * (np.asarray(flow) / rated_flow) ** (1 / power)
    most = number("hydraulics", "emitter", "largest head", "m")
    if np.any(head > most):
        raise OutOfRange(
            f"head_for_flow: that would take {said(Q(float(np.max(head)), 'm'), 4)} of water, more than "
            f"{said(Q(most, 'm'))}. Use more emitters, or larger ones."
        )
    return head[()]


def _check(rated_flow: Plain | Quantity, rated_head: Plain | Quantity, function: str) -> None:
    within(
        rated_flow,
        1e-9,
        1e6,
        f"{function}: a rated flow of {{value}} per hour does not fit. Write one above 0.",
        "L",
    )
    within(
        rated_head,
        1e-6,
        number("hydraulics", "emitter", "largest head", "m"),
        f"{function}: a rated head of {{value}} does not fit. Write one above 0 and up to {{high}}.",
        "m",
    )


@takes(flow="L/hour", returns="1/minute")
def drop_rate(flow: Quantity) -> Quantity:
    """Find how many drops a minute a flow is, to count them at the emitter.

    Parameters
    ----------
    flow : Quantity
        Volume in a time, not negative; one value or an array.

    Returns
    -------
    Quantity
        In drops a minute, with the shape of the flow.

    Raises
    ------
    UnitNeeded
        The flow has no unit, or one of another kind.
    OutOfRange
        A negative flow.

    See Also
    --------
    emitter_flow : The flow of an emitter at a head.

    Notes
    -----
    A drop is taken as a twentieth of a millilitre (data/hydraulics.csv); those of another nozzle are up to half as
    large again, or a third smaller. Count yours into a measuring cup. Above some 200 a minute drops become a stream.

    Examples
    --------
    >>> round(drop_rate(Q(24, "mL/hour")).magnitude, 3)
    8.0
    """
    within(flow, 0, np.inf, "drop_rate: a flow of {value} is not possible; it cannot be negative.", "L/hour")
    return flow * 1000 / 60 * number("hydraulics", "emitter", "drops in a millilitre", "1")
