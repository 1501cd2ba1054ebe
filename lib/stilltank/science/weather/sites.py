"""Places with their weather records."""

from dataclasses import dataclass, replace
from functools import cache

from stilltank.science.sky import altitude_metres
from stilltank.tables import DATA, load
from stilltank.units import Problem, Q, Quantity, latitude_degrees

from .reading import read
from .series import Weather

COVERS = ("open", "roof", "indoors")


@dataclass(frozen=True, eq=False)
class Site:
    """Where the tank stands.

    Parameters
    ----------
    name : str
        Of the place, for sentences.
    latitude : Quantity
        Of the place, in degrees, south negative.
    altitude : Quantity
        Height above the sea.
    weather : Weather, optional
        A record of this place or of one near it.
    cover : str, default "open"
        "open" under the sky, "roof" under a clear roof or beside a wall, "indoors" behind glass.

    Raises
    ------
    UnitNeeded
        Latitude or altitude without a unit.
    OutOfRange
        A place that is nowhere on earth.
    Problem
        Another word for the cover, or a weather that is none.

    Examples
    --------
    >>> Site("Balcony", Q(-33.9, "degree"), Q(20, "m")).cover
    'open'
    """

    name: str
    latitude: Quantity
    altitude: Quantity
    weather: Weather | None = None
    cover: str = "open"

    def __post_init__(self):
        object.__setattr__(
            self, "latitude", Q(latitude_degrees(self.latitude, "Site", single=True), "degree")
        )
        object.__setattr__(self, "altitude", Q(altitude_metres(self.altitude, "Site"), "m"))
        if self.cover not in COVERS:
            raise Problem(f"A cover is one of {', '.join(COVERS)}; {self.cover!r} is not known.")
        record = self.weather
        if record is not None:
            if not isinstance(record, Weather):
                raise Problem(
                    f"Site needs a Weather for `weather`, such as record('new-york'); you gave {record!r}."
                )
            here = {
                name: getattr(self, name)
                for name in ("latitude", "altitude")
                if getattr(record, name) is None
            }
            if here:  # a record that does not say where it is from is taken to be from here
                object.__setattr__(self, "weather", replace(record, **here))


def sites() -> tuple[str, ...]:
    """Names of the ready-made sites.

    Returns
    -------
    tuple of str
        In the order of data/sites.csv.

    Examples
    --------
    >>> sites()
    ('quillgate', 'new-york', 'seattle')
    """
    return load("sites").items_named


def site(name: "str | Site") -> Site:
    """Take a ready-made site with its weather record.

    Parameters
    ----------
    name : str or Site
        One of `sites`. A Site comes back as it is.

    Returns
    -------
    Site
        The site.

    Raises
    ------
    Problem
        There is no such site; the sentence names near ones.

    Examples
    --------
    >>> site("quillgate").latitude.magnitude
    41.5
    """
    if isinstance(name, Site):
        return name
    if not isinstance(name, str):
        raise Problem(
            f"A site is a Site(...) or one of {', '.join(sites())}; {type(name).__name__} is neither."
        )
    return _ready_made(name)


def record_and_cover(weather: Weather | Site | str | None, function: str) -> tuple[Weather | None, str]:
    """The record and the cover of a record, a site, or the name of a site.

    Parameters
    ----------
    weather : Weather or Site or str, optional
        What the caller gave; None stays none.
    function : str
        The function that asks, for the sentence of a refusal.

    Returns
    -------
    tuple of Weather or None, and str
        The record, or None, and the cover.

    Raises
    ------
    Problem
        Something else, or no such site.

    Examples
    --------
    >>> record_and_cover("quillgate", "example")[1]
    'open'
    """
    weather = site(weather) if isinstance(weather, str) else weather
    if isinstance(weather, Site):
        return weather.weather, weather.cover
    if weather is None or isinstance(weather, Weather):
        return weather, "open"
    raise Problem(
        f"{function} needs a Weather or a Site, such as site('quillgate'). You gave a {type(weather).__name__}."
    )


@cache
def _ready_made(name: str) -> Site:
    row = load("sites").of(name)
    return Site(
        str(row["label"].value),
        row["latitude"].quantity,
        row["altitude"].quantity,
        record(name),
        str(row["cover"].value),
    )


def record(name: str) -> Weather:
    """Take a weather record that comes with the workbook.

    Parameters
    ----------
    name : str
        ``"new-york"`` or ``"seattle"``: real, 2012 to 2015, temperatures and rain; ``"quillgate"``: invented, with
        all inputs.

    Returns
    -------
    Weather
        The record.

    Raises
    ------
    Problem
        There is no such record; the sentence names near ones.

    Examples
    --------
    >>> record("new-york").years
    (2012, 2013, 2014, 2015)
    """
    if not isinstance(name, str):
        raise Problem(f"A record is one of {', '.join(sites())}; {type(name).__name__} is no name.")
    return _record(name)


@cache
def _record(name: str) -> Weather:
    row = load("sites").of(name)
    said = str(row["weather units"].value) if "weather units" in row else ""
    gauge = row["wind gauge"].quantity if "wind gauge" in row else None
    units: dict[str, str | None] = {} if gauge is not None else {"wind": None}
    units |= dict(pair.split(" ", 1) for pair in said.split(";") if pair)
    found = read(
        DATA / str(row["weather file"].value),
        latitude=row["latitude"].quantity,
        altitude=row["altitude"].quantity,
        wind_height=gauge,
        units=units,
        name=str(row["label"].value),
    )
    return replace(found, notes=(str(row["weather note"].value),), coast="coast" in row)
