"""What tanks beside each other teach a new one."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, instance_of, pure_number

from .fit import TankFit
from .observations import Prior


def from_neighbours(prior: Prior, fits: Iterable[TankFit], common: float | None = None) -> Prior:
    """Narrow what is believed of a tank by what its neighbours' logs say.

    Parameters
    ----------
    prior : Prior
        What is believed of every tank here before a log.
    fits : sequence of TankFit
        Of the neighbours, each from its own log alone.
    common : float, optional
        Share of the doubt that the tanks have in common, 0 to 1; that of unlike tanks when left out.

    Returns
    -------
    Prior
        With another mean and a smaller spread.

    Raises
    ------
    OutOfRange
        A share outside 0 to 1.
    Problem
        A neighbour is no fit.

    Notes
    -----
    Each neighbour's factor counts as a measurement: its spread after the log, with the prior divided out. With prior
    variance v and a share c of it in common, the covariance is v (c + (1 - c) I), and the mean follows as in any
    linear estimate. Unlike tanks narrow each other by next to nothing. A neighbour whose log says no more than its
    prior is left out.

    Examples
    --------
    >>> from_neighbours(Prior.usual(), []).spread == Prior.usual().spread
    True
    """
    instance_of(prior, Prior, "prior", "from_neighbours")
    usual = number("refit", "next season", "neighbours in common", "1")
    share = usual if common is None else pure_number(common, 0.15, "common", "from_neighbours")
    if not 0 <= share <= 1:
        raise OutOfRange(f"The share in common lies between 0 and 1; {common!r} does not.")
    means, doubts = [], []
    try:
        beside_it = tuple(fits)
    except TypeError:
        raise Problem(f"Neighbours are a list of fits, as refit(...) gives them; {fits!r} is none.") from None
    for fit in beside_it:
        if not isinstance(fit, TankFit):
            raise Problem(f"A neighbour is a fit, as refit(...) gives it; {fit!r} is none.")
        mean, spread = fit.log_factor
        gained = 1 / spread**2 - 1 / fit.prior.spread**2
        if gained > 1e-9:
            means.append((mean / spread**2 - fit.prior.mean / fit.prior.spread**2) / gained)
            doubts.append(1 / gained)
    if not means:
        return prior
    variance, count = prior.spread**2, len(means)
    covariance = variance * (share * np.ones((count, count)) + (1 - share) * np.eye(count))
    beside = np.full(count, variance * share)
    gain = np.linalg.solve(covariance + np.diag(doubts), beside)
    mean = prior.mean + float(gain @ (np.asarray(means) - prior.mean))
    return replace(prior, mean=mean, spread=float(np.sqrt(variance - gain @ beside)))
