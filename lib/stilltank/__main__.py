"""``python -m stilltank``: what can be done from the command line."""

import argparse
import contextlib
import os
import sys
from collections.abc import Callable
from pathlib import Path

from . import COMMAND


def check(args: argparse.Namespace) -> int:
    """Examine this installation; say the remedy for each fault."""
    from . import installation

    faults = 0
    for finding in installation.examine(args.port):
        print(finding, flush=True)
        faults += finding.state == "fault"
    print("All is well." if not faults else f"{faults} to mend." if faults > 1 else "One thing to mend.")
    return int(faults > 0)


def where(args: argparse.Namespace) -> int:
    """Say where a number of the workbook comes from."""
    from .tables import where_from

    print(where_from(args.address))
    return 0


def read(args: argparse.Namespace) -> int:
    """Show how a text with a unit is understood."""
    from . import units

    found = units.read_with_notes(args.text, kind=args.kind)
    print(f"{args.text!r} is read as {units.write(found.quantity, 'both')}.")
    if found.assumed:
        print(f"Assumed: {'; '.join(found.assumed)}.")
    return 0


def card(args: argparse.Namespace) -> int:
    """Make the printable tank card of a tank plan."""
    from .season.paper import tank_card
    from .season.plan import Plan

    plan = Plan.load(args.plan)
    page = args.page or args.plan.with_suffix(".html")
    if page.resolve() == args.plan.resolve():
        from .units import Problem

        raise Problem(
            f"{page} is the tank plan itself. Give the card another name, such as {page.stem}-card.html."
        )
    made = tank_card(plan, page)
    print(f"The tank card is in {made}. Open it in a browser to print it.")
    return 0


def key(args: argparse.Namespace) -> int:
    """Print the answers that a learner's code gets, for whoever marks them."""
    from stilltank.chapters import keys

    from .learning.codes import learner_code

    known = [(code, keys.key(code, args.chapter)) for code in args.code]  # all of them, or a problem
    print(keys.OPEN)
    for code, lines in known:
        print(f"\nCode {learner_code(code)}", *lines, sep="\n")
    return 0


def again(args: argparse.Namespace) -> int:
    """Start a chapter again: the shipped notebook comes back, and what was there is kept under a dated name."""
    from datetime import date

    from stilltank import shipped

    print(*shipped.start_again(args.chapter, args.code, date.today()), sep="\n")
    print("If JupyterLab shows the chapter, close it there and open it again.")
    return 0


def open_(args: argparse.Namespace) -> int:
    """Open the workbook in JupyterLab; further options go on to JupyterLab."""
    from . import installation

    installation.open_lab(args.further)
    return 0


def _file(text: str) -> Path:
    if text.strip():
        return Path(text)
    raise argparse.ArgumentTypeError("give the name of a file")


def _port(text: str) -> int:
    if text.isdigit() and 0 < int(text) < 65536:
        return int(text)
    raise argparse.ArgumentTypeError(f"a port is a whole number from 1 to 65535; {text!r} is not")


def _parser() -> argparse.ArgumentParser:
    started = COMMAND if os.environ.get("STILLTANK_FOLDER") else "python -m stilltank"
    parser = argparse.ArgumentParser(
        prog=started, description="Still Tank Workbook: what can be done from here."
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")

    def command(name: str, does: Callable[[argparse.Namespace], int]) -> argparse.ArgumentParser:
        words = (does.__doc__ or "").rstrip(".")
        added = commands.add_parser(name, help=words[0].lower() + words[1:], description=does.__doc__)
        added.set_defaults(does=does)
        return added

    command("open", open_)
    command("check", check).add_argument(
        "--port", type=_port, metavar="NUMBER", help="a port that must be free"
    )
    command("where", where).add_argument("address", metavar="TABLE/ITEM/PROPERTY")
    one = command("read", read)
    one.add_argument("text", metavar="TEXT", help='for example "1 1/2 gal"')
    one.add_argument("--kind", help='what it is a measure of, for example "volume"')
    one = command("card", card)
    one.add_argument("plan", metavar="PLAN.toml", type=_file)
    one.add_argument("page", metavar="CARD.html", type=_file, nargs="?", help="default: beside the plan")
    one = command("key", key)
    one.add_argument("code", metavar="CODE", nargs="+", help="for example 7B-12")
    one.add_argument("--chapter", metavar="NUMBER", help="for example 01; default: all chapters")
    one = command("again", again)
    one.add_argument("chapter", metavar="NUMBER", help="for example 01")
    one.add_argument("code", metavar="CODE", nargs="?", default="", help="clear the answers of this code too")
    return parser


def _stay(command: str, own: bool) -> None:
    """See to it that a command acts on the workbook in which it is given, by that workbook's own library.

    ``own``: this is the command of the process itself, so the process may go on as another.
    """
    from . import installation
    from .installation import ROOT

    if os.environ.pop("STILLTANK_FOLDER", "") == str(ROOT):
        return  # started by the place of the workbook, as in ``python3 /there/workbook``
    try:
        here = Path.cwd()
    except OSError:  # the folder was deleted
        return
    found = installation.workbook_around(here)
    if found is not None and found.resolve() != ROOT:
        library = str(found / "lib")
        first = os.environ.get("PYTHONPATH", "").split(os.pathsep)[0]
        if own and first != library and (found / "lib" / "stilltank" / "__main__.py").is_file():
            os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, (library, os.environ.get("PYTHONPATH"))))
            installation.become([sys.executable, *sys.orig_argv[1:]])
        said = f"This is the workbook in {found}, but the command belongs to the one in {ROOT}."
    elif command in ("again", "open") and installation.has_stray_chapters(here):
        said = f"The chapters in {here} are copies without their workbook; the command belongs to the one in {ROOT}."
        found = ROOT
    else:
        return
    from .units import Problem

    raise Problem(f"{said} Nothing was changed. Go to {found} and run there: {COMMAND} {command}")


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns 0, 1 when the check found a fault, or 2 when something could not be done.

    Example
    -------
    >>> main(["where", "constants/water/standard gravity"])  # doctest: +ELLIPSIS
    constants/water/standard gravity = 9.80665 m/s^2. Kind: from memory. ...
    0
    """
    parser = _parser()
    args, further = parser.parse_known_args(argv)
    if further and args.command != "open":
        parser.error(f"not understood: {' '.join(further)}")
    if not args.command:
        parser.print_help()
        return 0
    args.further = further
    try:
        _stay(args.command, own=argv is None)
        return int(args.does(args))
    except ImportError as error:
        print(f"Problem: {error}. For what to do, run: {COMMAND} check", file=sys.stderr)
    except ValueError as error:
        from .units import Problem  # here: what is needed to examine an installation must not need it

        if not isinstance(error, Problem):
            raise
        print(f"Problem: {error}", file=sys.stderr)
    except BrokenPipeError:
        raise
    except OSError as error:
        what = f" ({error.filename})" if error.filename else ""
        print(f"Problem: {error.strerror or error}{what}.", file=sys.stderr)
    return 2


def _from_the_prompt() -> int:
    """``main``, for a process of its own: whatever its output cannot show or nobody reads any more is no fault."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:  # as with ``| head``
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130
    return code


if __name__ == "__main__":
    sys.exit(_from_the_prompt())
