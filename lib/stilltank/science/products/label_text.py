"""Reading a fertiliser label as a person copies it from the bag."""

import re
from types import MappingProxyType

from stilltank.science.chemistry import find_ion, ions
from stilltank.units import Q, Quantity, Unreadable

_OXIDES = MappingProxyType({name.lower(): name for name in ("P2O5", "K2O", "CaO", "MgO", "SO3")})
# What labels write out, in small letters.
_WORDS = MappingProxyType(
    {
        "nitrogen": "N", "total nitrogen": "N", "total n": "N",
        "nitrate nitrogen": "NO3-N", "nitric nitrogen": "NO3-N", "nitrate n": "NO3-N", "n as nitrate": "NO3-N",
        "ammoniacal nitrogen": "NH4-N", "ammonium nitrogen": "NH4-N", "ammonia nitrogen": "NH4-N",
        "n as ammonium": "NH4-N", "ureic nitrogen": "urea-N", "urea nitrogen": "urea-N", "n as urea": "urea-N",
        "phosphate": "P2O5", "available phosphate": "P2O5", "phosphoric acid": "P2O5",
        "phosphorus pentoxide": "P2O5", "potash": "K2O", "soluble potash": "K2O", "potassium oxide": "K2O",
        "magnesium oxide": "MgO", "calcium oxide": "CaO", "sulfur trioxide": "SO3", "sulphur trioxide": "SO3",
        "iron edta": "Fe as EDTA", "iron dtpa": "Fe as DTPA", "iron eddha": "Fe as EDDHA",
        "fe edta": "Fe as EDTA", "fe dtpa": "Fe as DTPA", "fe eddha": "Fe as EDDHA",
    }
)  # fmt: skip
_KINDS = MappingProxyType({"NO3-": "NO3-N", "NH4+": "NH4-N", "urea": "urea-N"})
_TWO_READINGS = ("nitrate", "ammonium", "urea")
_GRADE = re.compile(r"(\d+(?:\.\d+)?)\s*[-–]\s*(\d+(?:\.\d+)?)\s*[-–]\s*(\d+(?:\.\d+)?)")
_FIGURE = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*(%|percent)?(?![\w.])")


def read_label(text: str) -> dict[str, Quantity]:
    """Read what is typed or copied from the label of a bag.

    Parameters
    ----------
    text : str
        Names and percent, apart by commas, semicolons or line ends, the name before or after its figure; or the three
        numbers of a grade, such as ``"5-12-26"``, which are N, P2O5 and K2O.

    Returns
    -------
    dict of str to Quantity
        Percent of the mass, in the words that ``Salt.from_label`` takes, and ``"N"`` where the label gives the whole.

    Raises
    ------
    Unreadable
        A part has no figure or no name, a name is unknown or has two readings, or something stands there twice.

    Notes
    -----
    "Phosphate" and "potash" are taken for P2O5 and K2O, as labels mean them. What is 0 is left out.

    Examples
    --------
    >>> found = read_label("5-12-26; nitrate nitrogen 5 %, Mg 6, Fe EDTA: 0,3 %")
    >>> {name: share.magnitude for name, share in found.items()}
    {'N': 5.0, 'P2O5': 12.0, 'K2O': 26.0, 'NO3-N': 5.0, 'Mg': 6.0, 'Fe as EDTA': 0.3}
    """
    if not isinstance(text, str) or not text.strip():
        raise Unreadable(
            "The label is empty. Type what the bag says, such as NO3-N 5 %, P2O5 12 %, K2O 26 %."
        )
    found: dict[str, Quantity] = {}

    def take(name: str, percent: str) -> None:
        if name in found and found[name].magnitude != float(percent):
            raise Unreadable(
                f'"{name}" stands on the label twice, as {found[name].magnitude:g} and {percent} %. Keep one of them.'
            )
        if float(percent) > 0:
            found[name] = Q(float(percent), "percent")

    plain = re.sub(r"(?<=\d),(?=\d)", ".", text.replace("\u00a0", " "))
    for part in filter(None, (each.strip(" .\t") for each in re.split(r"[;,\n\r|]+", plain))):
        if grade := _GRADE.search(part):
            for name, percent in zip(("N", "P2O5", "K2O"), grade.groups(), strict=True):
                take(name, percent)
            part = _GRADE.sub(" ", part).strip(" :-")
            if not _FIGURE.search(part):
                continue
        figures = _FIGURE.findall(part)
        if len(figures) != 1:
            many = "no figure" if not figures else f"{len(figures)} figures"
            raise Unreadable(
                f'"{part}" has {many}. Type each element with its percent on a line of its own, such as K2O 26 %.'
            )
        take(_named(_FIGURE.sub(" ", part), part), figures[0][0])
    if not found:
        raise Unreadable("The label has nothing above 0 %. Type what the bag says, such as K2O 26 %.")
    return found


def _named(words: str, part: str) -> str:
    """What a label means by its words; the symbol in brackets goes before the words around it."""
    inner = re.findall(r"\(([^)]*)\)", words)
    outer = re.sub(r"\([^)]*\)", " ", words)
    chelate = next((kind for kind in ("EDTA", "DTPA", "EDDHA") if kind.lower() in words.lower()), "")
    for given in (*inner, outer):
        bare = re.sub(r"[:=*]+|\b(EDTA|DTPA|EDDHA|as|chelate)\b", " ", given, flags=re.I)
        name = " ".join((re.sub(r"[:=*]+", " ", given) if "n as" in given.lower() else bare).split())
        small = name.lower().removeprefix("soluble ").removeprefix("water soluble ").removeprefix("chelated ")
        if small in _OXIDES:
            return _OXIDES[small]
        if small in _TWO_READINGS:
            raise Unreadable(
                f'"{name}" can mean the nitrogen in it or all of it. Type {small}-N for the nitrogen, as most labels '
                "mean it."
            )
        if small in ("n", *_WORDS):
            meant = "N" if small == "n" else _WORDS[small]
            kinds = {"nitrate": "NO3-N", "nitric": "NO3-N", "ammoni": "NH4-N", "urea": "urea-N"}
            return next(
                (kind for word, kind in kinds.items() if meant == "N" and word in words.lower()), meant
            )
        ion = find_ion(small)
        if ion is not None:
            if ion[0] == "Fe+2" and chelate:
                return f"Fe as {chelate}"
            if ion[0] in _KINDS:
                return _KINDS[ion[0]]
            element = ions()[ion[0]].element
            return element if ion[1] == element else name
    for word in sorted(_WORDS, key=len, reverse=True):
        if re.search(rf"\b{word}\b", outer.lower()):
            return _WORDS[word]
    raise Unreadable(
        f'"{part}" names nothing we know from labels. Type NO3-N, NH4-N, urea-N, P2O5, K2O, Ca, Mg, S, Fe, Mn, Zn, B, '
        "Cu or Mo, and its percent."
    )
