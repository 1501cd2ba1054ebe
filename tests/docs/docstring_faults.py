"""Faults of docstrings, as numpydoc names them: what is listed in exceptions.toml, and what is there.

``python tests/docs/docstring_faults.py`` takes out of the list what is mended, and counts what is left; it adds
nothing. With ``--all`` the list is made new from what is there: only after a merge of work that changed docstrings.
"""

import inspect
import sys
import tomllib
from enum import Enum
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "house")]

from faces import faces
from numpydoc.docscrape_sphinx import get_doc_object
from numpydoc.validate import validate

LIST = Path(__file__).with_name("exceptions.toml")
RULES = {
    "GL03": "two blank lines, or one too many at an end",
    "GL06": "a section that numpydoc does not know",
    "GL07": "sections out of order",
    "GL08": "no docstring",
    "SS01": "no summary",
    "SS02": "a summary that does not start with a capital",
    "SS03": "a summary without its full stop",
    "SS04": "a summary that starts with blanks",
    "PR01": "parameters without a line",
    "PR02": "lines without a parameter",
    "PR03": "parameters out of order",
    "PR04": "a parameter without its type",
    "PR07": "a parameter without its meaning",
    "RT01": "no section Returns",
    "RT03": "a return value without its meaning",
    "YD01": "no section Yields",
    "EX01": "no section Examples",
}
HEAD = """\
# Faults of docstrings that are not mended yet, by module and name, with the rules of numpydoc that each breaks.
# The list may only shrink: a new fault fails, and so does an entry that is mended. It is renewed by
# `python tests/docs/docstring_faults.py`.
"""


def faults(thing):
    """The rules that the docstring of one thing breaks, in order."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # numpydoc warns of an unknown section, which is GL06
        found = {code for code, _ in validate(get_doc_object(thing))["errors"]}
    if inspect.isclass(thing) and issubclass(thing, Enum):
        found.discard("PR01")  # what Python takes to make an enumeration is no parameter of ours
    return tuple(sorted(found & set(RULES)))


def there():
    """All faults, by (face, name). A name that a face hands on from another one is looked at there."""
    found = {}
    for face, names in faces().items():
        for name, thing in sorted(names.items()):
            is_ours = getattr(thing, "__module__", "").startswith("stilltank.")
            at_home = is_ours and (thing.__module__ == face or thing.__module__.startswith(f"{face}."))
            if at_home and (inspect.isclass(thing) or inspect.isroutine(thing)) and (broken := faults(thing)):
                found[face, name] = broken
    return found


def listed():
    """The faults of the list, in the same form."""
    read = tomllib.loads(LIST.read_text(encoding="utf-8")) if LIST.exists() else {}
    return {
        (face, name): tuple(codes.split()) for face, names in read.items() for name, codes in names.items()
    }


def text_of(found):
    """The list as TOML, each module with its count."""
    lines = [HEAD]
    for face in dict.fromkeys(face for face, _ in sorted(found)):
        mine = {name: codes for (where, name), codes in sorted(found.items()) if where == face}
        lines.append(f'["{face}"] # {sum(map(len, mine.values()))} in {len(mine)} names')
        lines += [f'{name} = "{" ".join(codes)}"' for name, codes in mine.items()]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def main(options):
    """Renew the list, and print how many faults each module has."""
    found, old = there(), listed()
    kept = found
    if "--all" not in options:
        kept = {
            key: tuple(code for code in codes if code in old.get(key, ())) for key, codes in found.items()
        }
        for key, codes in found.items():
            if new := set(codes) - set(kept[key]):
                print(
                    f"not listed: {key[0]}.{key[1]}: "
                    + ", ".join(f"{code} {RULES[code]}" for code in sorted(new))
                )
        kept = {key: codes for key, codes in kept.items() if codes}
    LIST.write_text(text_of(kept), encoding="utf-8")
    for face in dict.fromkeys(face for face, _ in sorted(kept)):
        print(f"{sum(len(codes) for (where, _), codes in kept.items() if where == face):5d} {face}")
    print(
        f"{sum(map(len, kept.values())):5d} faults in {len(kept)} names; {sum(map(len, old.values()))} were listed."
    )


if __name__ == "__main__":
    main(sys.argv[1:])
