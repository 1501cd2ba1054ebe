"""``python -m stilltank``: what can be done from the command line."""

import argparse
import contextlib
import os
import sys
from collections.abc import Callable
from pathlib import Path

from . import COMMAND


def check(args: argparse.Namespace) -> int:
    """Examine this installation; say the remedy for each fault.

    Parameters
    ----------
    args : argparse.Namespace
        ``port``: a port that JupyterLab must get, or None.

    Returns
    -------
    int
        0 if all is well, 1 if there is a fault.

    Examples
    --------
    >>> from unittest import mock
    >>> from stilltank import installation
    >>> one = installation.Finding("port", "ok", "8888 is free.")  # instead of all parts, which take seconds
    >>> with mock.patch.object(installation, "examine", lambda wish: [one]):
    ...     check(argparse.Namespace(port=None))
    ok    port              8888 is free.
    All is well.
    0
    """
    from . import installation

    faults = 0
    for finding in installation.examine(args.port):
        print(finding, flush=True)
        faults += finding.state == "fault"
    print("All is well." if not faults else f"{faults} to mend." if faults > 1 else "One thing to mend.")
    return int(faults > 0)


def where(args: argparse.Namespace) -> int:
    """Say where a number of the workbook comes from.

    Parameters
    ----------
    args : argparse.Namespace
        ``address``: table, item and property, with a slash between them.

    Returns
    -------
    int
        0, once it is printed.

    Raises
    ------
    TableFault
        There is no such entry.

    Examples
    --------
    >>> where(argparse.Namespace(address="constants/water/standard gravity"))
    constants/water/standard gravity = 9.80665 m/s^2. Kind: from memory. ...
    0
    """
    from .tables import where_from

    print(where_from(args.address))
    return 0


def read(args: argparse.Namespace) -> int:
    """Show how a text with a unit is understood.

    Parameters
    ----------
    args : argparse.Namespace
        ``text``: the text; ``kind``: what it is a measure of, or None.

    Returns
    -------
    int
        0, once it is printed.

    Raises
    ------
    Unreadable
        The text is not understood.

    Examples
    --------
    >>> read(argparse.Namespace(text="2 L", kind="volume"))
    '2 L' is read as 2 L (2.11 US qt).
    0
    """
    from . import units

    found = units.read_with_notes(args.text, kind=args.kind)
    print(f"{args.text!r} is read as {units.write(found.quantity, 'both')}.")
    if found.assumed:
        print(f"Assumed: {'; '.join(found.assumed)}.")
    return 0


def card(args: argparse.Namespace) -> int:
    """Make the printable tank card of a tank plan.

    Parameters
    ----------
    args : argparse.Namespace
        ``plan``: the path of the plan; ``page``: that of the card, or None for one beside the plan.

    Returns
    -------
    int
        0, once it is written.

    Raises
    ------
    PlanFault
        The plan cannot be used.
    Problem
        The card would replace the plan, or cannot be written.

    Examples
    --------
    >>> card(argparse.Namespace(plan=Path("no-such-plan.toml"), page=None))
    Traceback (most recent call last):
        ...
    stilltank.season.plan.PlanFault: ...
    """
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


def log(args: argparse.Namespace) -> int:
    """Read a tank log: what is odd, how much the plants drink, and where the tank goes.

    Parameters
    ----------
    args : argparse.Namespace
        ``log``: the path of the log; ``plan``: that of the tank plan, or None for the one beside the log.

    Returns
    -------
    int
        0, once it is printed.

    Raises
    ------
    PlanFault
        The plan cannot be used.
    Problem
        The log cannot be read, or no plan is beside it.

    Examples
    --------
    >>> log(argparse.Namespace(log=Path("no-such-log.csv"), plan=None))
    Traceback (most recent call last):
        ...
    stilltank.problems.Problem: ...
    """
    from .season.log import forecasts, read, refit
    from .season.plan import Plan
    from .units import Problem

    beside = args.log.with_name(f"{args.log.stem.removesuffix('-log')}.toml")
    if args.plan is None and not beside.exists():
        raise Problem(f"No plan is beside the log: {beside.name}. Name yours with --plan my-tank.toml.")
    plan = Plan.load(args.plan or beside)
    kept = read(args.log, plan)
    fitted = refit(plan, kept)
    print(f"{len(kept.visits)} visits were read.", *kept.notes, sep="\n")
    asked = [each.sentence for each in (*kept.questions, *fitted.questions)]
    print(*(f"Question: {sentence}" for sentence in asked), *fitted.words, sep="\n")
    for code, coming in forecasts(fitted).items():
        print(f"\nTank {code}" if code else "", coming, sep="\n")
    return 0


def key(args: argparse.Namespace) -> int:
    """Print the answers that a learner's code gets, for whoever marks them.

    Parameters
    ----------
    args : argparse.Namespace
        ``code``: a list of codes; ``chapter``: the number of one chapter, or None for all.

    Returns
    -------
    int
        0, once they are printed.

    Raises
    ------
    Unreadable
        One of them is no code.
    Problem
        No question belongs to that chapter.

    Examples
    --------
    >>> key(argparse.Namespace(code=["7B-12"], chapter="01"))
    This key is no secret: ...
    Code 7B-12
    ...
    0
    """
    from stilltank.chapters import keys

    from .learning.codes import learner_code

    known = [(code, keys.key(code, args.chapter)) for code in args.code]  # all of them, or a problem
    print(keys.OPEN)
    for code, lines in known:
        print(f"\nCode {learner_code(code)}", *lines, sep="\n")
    return 0


def again(args: argparse.Namespace) -> int:
    """Start a chapter again: the shipped notebook comes back, and what was there is kept under a dated name.

    Parameters
    ----------
    args : argparse.Namespace
        ``chapter``: its number; ``code``: the learner whose answers are cleared too, or an empty text.

    Returns
    -------
    int
        0, once it is done.

    Raises
    ------
    Problem
        There is no such chapter, no work of that code, or no copy as shipped. Nothing was changed.
    Unreadable
        What was given is no code.

    Examples
    --------
    >>> again(argparse.Namespace(chapter="99", code=""))
    Traceback (most recent call last):
        ...
    stilltank.problems.Problem: There is no chapter '99'. ...
    """
    from datetime import date

    from stilltank import shipped

    print(*shipped.start_again(args.chapter, args.code, date.today()), sep="\n")
    print("If JupyterLab shows the chapter, close it there and open it again.")
    return 0


def open_(args: argparse.Namespace) -> int:
    """Open the workbook in JupyterLab; further options go on to JupyterLab.

    Parameters
    ----------
    args : argparse.Namespace
        ``further``: the options for JupyterLab.

    Returns
    -------
    int
        0; on most systems JupyterLab takes the place of this process before.

    Raises
    ------
    Problem
        An option cannot be used, a fixed port is in use, or the chapters are missing.

    Examples
    --------
    >>> open_(argparse.Namespace(further=["9000"]))
    Traceback (most recent call last):
        ...
    stilltank.problems.Problem: '9000' is no option of JupyterLab; ...
    """
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
        words = (does.__doc__ or "").partition("\n")[0]
        added = commands.add_parser(name, help=words[0].lower() + words[1:].rstrip("."), description=words)
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
    one = command("log", log)
    one.add_argument("log", metavar="LOG.csv", type=_file)
    one.add_argument("--plan", metavar="PLAN.toml", type=_file, help="default: the one beside the log")
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
    """Run one command of the command line.

    Parameters
    ----------
    argv : list of str, optional
        The words after the name of the program; those of this process when left out.

    Returns
    -------
    int
        0, 1 when the check found a fault, or 2 when something could not be done.

    Raises
    ------
    SystemExit
        The words are not understood, or they ask for help.

    Examples
    --------
    >>> main(["where", "constants/water/standard gravity"])
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
