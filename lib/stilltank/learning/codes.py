"""Codes of learners: they choose the numbers of a question; names are never used."""

import re
import unicodedata

from ..units import Unreadable
from .arguments import briefly

_CODE = re.compile(r"[A-Z0-9]{1,8}(?:-[A-Z0-9]{1,8}){0,2}")
_DASHES = re.compile(r"\s*[-‐‑‒–—−_/.]\s*|\s+")


def learner_code(text: str) -> str:
    """Put a learner's code into its one form: capital letters, one hyphen between the parts.

    Parameters
    ----------
    text : str
        Such as ``"7B-12"``, ``"7b 12"`` or ``"A1"``: class and number, or group. At most three letters in a row.

    Returns
    -------
    str
        The same code in capital letters, such as ``"7B-12"``.

    Raises
    ------
    Unreadable
        It is no code. For what looks like a name, the sentence asks for a code instead.

    Examples
    --------
    >>> learner_code(" 7b – 12 "), learner_code("A1")
    ('7B-12', 'A1')
    """
    if not isinstance(text, str):
        raise Unreadable(f'A code is a text such as "7B-12"; you gave {briefly(text)}.')
    code = _DASHES.sub("-", unicodedata.normalize("NFKC", text).strip()).upper()
    if not code:
        raise Unreadable("No code was typed. Type one such as 7B-12.")
    if re.search(r"[^\W\d_]{4}", code) or not re.search(r"\d", code):
        raise Unreadable("This looks like a name. Names are never kept: type a code such as 7B-12 instead.")
    if not _CODE.fullmatch(code):
        raise Unreadable(f'"{text.strip()[:30]}" is not a code. Type letters and digits, such as 7B-12.')
    return code
