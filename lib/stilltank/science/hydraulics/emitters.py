"""Drip emitters on a gravity tank, and the viscosity of water."""

from typing import Any

import numpy as np

from stilltank.science.pure_water import viscosity
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q, Unreadable, one_value, pure_number, takes, within

KINDS = ("laminar", "smooth turbulent", "fully turbulent", "compensating")


def emitter_exponent(kind: Any) -> float:
    """Exponent of an emitter: how its flow follows the head.

    Parameters
    ----------
    kind : "laminar", "smooth turbulent", "fully turbulent" or "compensating"; or a number from 0 to 1 from its sheet

    Returns
    -------
    float

    Raises
    ------
    Problem      another word
    Unreadable, OutOfRange   no number from 0 to 1

    Example
    -------
    >>> emitter_exponent("smooth turbulent"), emitter_exponent(0.42)
    (0.57, 0.42)
    """
    if isinstance(kind, str):
        if kind not in KINDS:
            raise Problem(
                f"An emitter is {', '.join(KINDS[:-1])} or {KINDS[-1]}, or has an exponent from 0 to 1; "
                f"{kind!r} is none of them."
            )
        return float(load("hydraulics")["emitter", kind].value)
    exponent = pure_number(kind, 0.5, "exponent", "emitter_exponent")
    if np.ndim(exponent):
        raise Unreadable(f"An emitter has one exponent; you gave {np.size(exponent)}.")
    within(exponent, 0, 1, "The exponent of an emitter lies from 0 to 1; {value:g} does not.")
    return float(exponent)


@takes(rated_flow="L/hour", rated_head="m", head="m")
def emitter_flow(rated_flow: Any, rated_head: Any, exponent: Any, head: Any, lowest_head: Any = None) -> Any:
    """Flow of an emitter at another head than the rated one.

    Parameters
    ----------
    rated_flow, rated_head : quantities, from its sheet; a pressure of 1 bar is 10.2 m of water
    exponent : see `emitter_exponent`
    head : quantity, from the emitter up to the level in the tank; one value or an array
    lowest_head : quantity, optional
        Least head of a compensating emitter, from its sheet; below it the flow is not known, and may be nothing.

    Returns
    -------
    quantity in L/hour

    Raises
    ------
    UnitNeeded, Unreadable   a bare number; no exponent
    OutOfRange   no flow, no head; a head below ``lowest_head``
    Problem      another word for the exponent; a compensating emitter whose ``lowest_head`` is not given

    Example
    -------
    >>> round(emitter_flow(Q(4, "L/hour"), Q(10, "m"), "fully turbulent", Q(0.5, "m")).magnitude, 3)
    0.894

    Limits: far below its rated head an emitter may clog, drip unevenly, or not open. Catch it in a cup for an hour.
    Source: q = k H^x, so q2 = q1 (H2/H1)^x.
    """
    power = emitter_exponent(exponent)
    _check(rated_flow, rated_head, "emitter_flow")
    high = number("hydraulics", "emitter", "largest head", "m")
    within(head, 0, high, f"emitter_flow: a head of {{value:g}} m; write 0 to {high:g} m.")
    if power == 0 and lowest_head is None:
        raise Problem(
            "emitter_flow: a compensating emitter keeps its flow only above a least head. Give lowest_head from its "
            'sheet, such as Q(5, "m"); a tank half a metre up will hardly open it.'
        )
    if lowest_head is not None:
        least = one_value(lowest_head, "m", "lowest_head", "emitter_flow")
        within(least, 0, high, f"emitter_flow: a lowest head of {{value:g}} m; write 0 to {high:g} m.")
        within(
            head,
            least,
            np.inf,
            f"emitter_flow: a head of {{value:g}} m, and this emitter needs {least:g} m; what it does below that its "
            "sheet does not say.",
        )
    return Q(rated_flow * (np.asarray(head) / rated_head) ** power, "L/hour")


@takes(rated_flow="L/hour", rated_head="m", flow="L/hour")
def head_for_flow(rated_flow: Any, rated_head: Any, exponent: Any, flow: Any) -> Any:
    """Head at which an emitter gives a flow; the inverse of `emitter_flow`.

    Parameters
    ----------
    rated_flow, rated_head : quantities, from its sheet
    exponent : see `emitter_exponent`
    flow : quantity, wanted; one value or an array

    Returns
    -------
    quantity in m of water

    Raises
    ------
    UnitNeeded, Unreadable   a bare number; no exponent
    OutOfRange   no flow, no head; a head higher than 100 m
    Problem      a compensating emitter: its flow does not follow the head

    Example
    -------
    >>> round(head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.42, Q(4.32, "L/hour")).magnitude, 2)
    12.01

    Limits: as `emitter_flow`.
    """
    power = emitter_exponent(exponent)
    if power == 0:
        raise Problem(
            "head_for_flow: a compensating emitter gives its rated flow at every head above its least one. Choose "
            "another emitter for another flow."
        )
    _check(rated_flow, rated_head, "head_for_flow")
    within(flow, 1e-9, 1e6, "head_for_flow: a flow of {value:g} L/hour; write one above 0.")
    head = rated_head * (np.asarray(flow) / rated_flow) ** (1 / power)
    most = number("hydraulics", "emitter", "largest head", "m")
    if np.any(head > most):
        raise OutOfRange(
            f"head_for_flow: that would take {float(np.max(head)):.4g} m of water, more than {most:g} m. Use more "
            "emitters, or larger ones."
        )
    return Q(head[()], "m")


@takes(temperature="degC", reference="degC")
def laminar_warming(temperature: Any, reference: Any = None) -> Any:
    """Flow of a laminar emitter at a temperature, over its flow at another; a plain number.

    Parameters
    ----------
    temperature : quantity, 0 to 40 degC, one value or an array
    reference : quantity, the temperature of the rated flow; 20 degC when left out

    Returns
    -------
    float, or an array

    Raises
    ------
    UnitNeeded   no temperature
    OutOfRange   outside 0 to 40 degC

    Example
    -------
    >>> round(laminar_warming(Q(30, "degC"), Q(10, "degC")), 2)
    1.64

    Limits: for laminar emitters only; a turbulent one hardly feels the temperature.
    Source: Poiseuille: at the same head the flow goes as one over the viscosity.
    """
    usual = number("budget", "tank", "usual temperature", "degC")
    other = Q(usual if reference is None else reference, "degC")
    return (viscosity(other) / viscosity(Q(temperature, "degC"))).m_as("dimensionless")


def _check(rated_flow: Any, rated_head: Any, function: str) -> None:
    within(rated_flow, 1e-9, 1e6, f"{function}: a rated flow of {{value:g}} L/hour; write one above 0.")
    high = number("hydraulics", "emitter", "largest head", "m")
    within(
        rated_head,
        1e-6,
        high,
        f"{function}: a rated head of {{value:g}} m; write one above 0 and up to {high:g} m.",
    )
