"""What a season's log taught, kept beside the bench, and taken up in the next season."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import tomli_w

from stilltank.files import alone_with
from stilltank.science.refit import Prior
from stilltank.tables import number
from stilltank.units import Problem, all_of

from .log_file import PlansLike, plans_of
from .log_fit import Refit

_HEAD = "# What the logs of past seasons taught about each tank. The workbook adds to it; you may delete a season.\n\n"
_MANY = 3  # seasons from which their own differences replace the assumed one


@dataclass(frozen=True, kw_only=True)
class TaughtBySeason:
    """What one season taught about one tank.

    Parameters
    ----------
    tank, crop, place : str
        Code of the tank, name of the crop and of the place.
    planted, ended : date
        First and last day that the log tells of.
    visits : int
        Readings behind it.
    mean, spread : float
        Of the logarithm of the tank factor at full canopy.
    rain_mean, rain_spread : float
        Of the logit of the share of the rain on the lid that gets in.
    procedures : tuple of str
        How the evapotranspiration was reached; the factor goes with it.

    Examples
    --------
    >>> numbers = {"mean": 0.1, "spread": 0.2, "rain_mean": -1.6, "rain_spread": 0.8}
    >>> days = {"planted": date(2027, 5, 10), "ended": date(2027, 7, 8)}
    >>> TaughtBySeason(tank="A", crop="basil", place="Quillgate", visits=18, procedures=(), **days, **numbers).season
    2027
    """

    tank: str
    crop: str
    place: str
    planted: date
    ended: date
    visits: int
    mean: float
    spread: float
    rain_mean: float
    rain_spread: float
    procedures: tuple[str, ...]

    @property
    def season(self) -> int:
        """The year of planting."""
        return self.planted.year


@dataclass(frozen=True, kw_only=True)
class Beginning:
    """What is believed of the tanks of a new season.

    Parameters
    ----------
    priors : mapping of str to Prior
        By code; a tank of which nothing is kept is not in it, and begins wide.
    words : tuple of str
        What was taken, widened or left, in sentences.

    Examples
    --------
    >>> Beginning(priors={}, words=()).priors
    {}
    """

    priors: Mapping[str, Prior]
    words: tuple[str, ...]


def keep_season(fitted: Refit, path: str | Path) -> tuple[str, ...]:
    """Keep what a log taught for next season, beside what earlier seasons taught.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    path : str or Path
        The file, such as "my-seasons.toml" beside the plans; the same season of a tank is replaced in it.

    Returns
    -------
    tuple of str
        What was kept, and what was not, in sentences.

    Raises
    ------
    Problem
        The file there cannot be read, or the folder cannot be written.

    Notes
    -----
    The factor of young plants is mostly their timing. A season that ended before they were full-grown is not kept.

    Examples
    --------
    >>> import tempfile
    >>> from stilltank.season.log import read, refit
    >>> from stilltank.season.plan import Plan
    >>> folder = Path(tempfile.mkdtemp())
    >>> _ = (folder / "my-log.csv").write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> keep_season(refit(Plan.make(count=4), read(folder / "my-log.csv"), members=500), folder / "my-seasons.toml")
    ('The log ends on 2027-06-10, before the snapdragon was full-grown. ...',)
    """
    words, made = [], []
    for code, fit in fitted.fits.items():
        try:
            kept = fit.prior_for_next_season()
        except Problem as problem:
            words.append(str(problem) if not code else f"Tank {code}: {problem}")
            continue
        plan = fitted.planned[code]
        made.append(
            TaughtBySeason(
                tank=code,
                crop=kept.crop,
                place=plan.site.name,
                planted=fit.scenario.start,
                ended=fit.last_day,
                visits=kept.visits,
                mean=round(kept.mean, 4),
                spread=round(kept.spread, 4),
                rain_mean=round(kept.rain_mean, 4),
                rain_spread=round(kept.rain_spread, 4),
                procedures=kept.procedures,
            )
        )
    if made:
        target = Path(path)
        with alone_with(target) as write:
            new = {(each.tank, each.planted): each for each in made}
            old = [each for each in kept_seasons(target) if (each.tank, each.planted) not in new]
            every = sorted([*old, *made], key=lambda each: (each.planted, each.tank))
            write(_HEAD + tomli_w.dumps({"season": [_as_values(each) for each in every]}))
        which = all_of([each.tank for each in made if each.tank]) or "your tank"
        words.append(f"Kept in {target.name} for next season: what the log taught about {which}.")
    return tuple(words)


def kept_seasons(path: str | Path) -> tuple[TaughtBySeason, ...]:
    """Read what earlier seasons taught.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    tuple of TaughtBySeason
        In order; empty where there is no such file yet.

    Raises
    ------
    Problem
        The file cannot be read, or a season in it is not whole.

    Examples
    --------
    >>> kept_seasons("no-such-file.toml")
    ()
    """
    target = Path(path)
    try:
        found = tomllib.loads(target.read_text(encoding="utf-8")).get("season", [])
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError, ValueError) as error:
        raise Problem(
            f"{target.name}, what past seasons taught, could not be read. Give it another name to begin without."
        ) from error
    try:
        return tuple(_from_values(each) for each in found)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise Problem(
            f"A season in {target.name} is not whole. Delete its lines, from [[season]] to the next, and try again."
        ) from error


def begin_season(path: str | Path, plans: PlansLike) -> Beginning:
    """Find what past seasons say of the tanks of this one.

    Parameters
    ----------
    path : str or Path
        The file in which they are kept.
    plans : Plan, or mapping of str to Plan
        The plans of this season, by the codes of the log.

    Returns
    -------
    Beginning
        Priors for ``log.refit``, and what was taken, widened or left.

    Raises
    ------
    Problem
        The file cannot be read.

    Notes
    -----
    Of several seasons the mean is weighted by precision. From the third on, how much they differ takes the place of
    the assumed change from one to the next. A factor belongs to the evapotranspiration with which it was found, and to
    its crop and place: with another procedure it is left, with another crop or place the range begins wider.

    Examples
    --------
    >>> from stilltank.season.plan import Plan
    >>> begin_season("no-such-file.toml", Plan.make(count=4)).words
    ('Nothing is kept of past seasons yet, so the ranges begin wide.',)
    """
    kept = kept_seasons(path)
    if not kept:
        return Beginning(priors={}, words=("Nothing is kept of past seasons yet, so the ranges begin wide.",))
    priors, words = {}, []
    for code, plan in plans_of(plans).items():
        mine = [each for each in kept if each.tank == code and each.planted < plan.start]
        if not mine:
            words.append(f"{_named(code)}: nothing is kept of it, so its ranges begin wide.")
            continue
        scenario = plan.change(reading=None).scenario()
        procedures = tuple(scenario.skies().procedures)
        usable = [each for each in mine if each.procedures == procedures]
        if not usable:
            words.append(
                f"{_named(code)}: last season's evapotranspiration was reached in another way, and a factor takes up "
                "the difference. Its ranges begin wide."
            )
            continue
        crop, place = scenario.plants[0].crop.name, plan.site.name
        alike = [each for each in usable if (each.crop, each.place) == (crop, place)]
        priors[code] = _combined(alike or usable[-1:], crop, bool(alike))
        seasons = all_of(sorted({str(each.season) for each in alike or usable[-1:]}))
        if alike:
            words.append(f"{_named(code)}: begins with what its log taught in {seasons}.")
        else:
            other = usable[-1]
            what = f"{other.crop}" if other.crop != crop else f"{other.place}"
            words.append(f"{_named(code)}: what {seasons} taught was of {what}, so it begins wider.")
    return Beginning(priors=priors, words=tuple(words))


def _named(code: str) -> str:
    return f"Tank {code}" if code else "Your tank"


def _combined(seasons: Iterable[TaughtBySeason], crop: str, alike: bool) -> Prior:
    several = tuple(seasons)
    mean, spread = _weighted([(each.mean, each.spread) for each in several])
    rain_mean, rain_spread = _weighted([(each.rain_mean, each.rain_spread) for each in several])
    latest = several[-1]
    known = replace(
        Prior.usual(),
        mean=mean,
        spread=spread,
        rain_mean=rain_mean,
        rain_spread=rain_spread,
        procedures=latest.procedures,
        visits=sum(each.visits for each in several),
        crop=crop if alike else "",
    )
    found = known.of_last_season(crop, latest.procedures)
    if alike and len(several) >= _MANY:
        differing = float(np.std([each.mean for each in several], ddof=1))
        floor = number("refit", "next season", "least factor spread", "1")
        found = replace(found, spread=max(float(np.hypot(spread, differing)), floor))
    return found


def _weighted(several: list[tuple[float, float]]) -> tuple[float, float]:
    """Mean by precision, and its spread."""
    means, spreads = np.array(several).T
    weights = 1 / spreads**2
    return float(weights @ means / weights.sum()), float(1 / np.sqrt(weights.sum()))


def _as_values(taught: TaughtBySeason) -> dict[str, Any]:
    values = {field.name: getattr(taught, field.name) for field in fields(taught)}
    return {**values, "procedures": list(taught.procedures)}


def _from_values(values: Mapping[str, Any]) -> TaughtBySeason:
    given = {field.name: values[field.name] for field in fields(TaughtBySeason)}
    for name in ("mean", "spread", "rain_mean", "rain_spread"):
        given[name] = float(given[name])
        if not np.isfinite(given[name]):
            raise ValueError(name)
    if not (given["spread"] > 0 and given["rain_spread"] > 0):
        raise ValueError("spread")
    if not all(type(given[name]) is date for name in ("planted", "ended")):
        raise TypeError("day")
    given["procedures"] = tuple(str(each) for each in given["procedures"])
    return TaughtBySeason(**{**given, "visits": int(given["visits"])})
