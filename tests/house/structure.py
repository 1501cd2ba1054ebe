"""What the library imports, read from its source: the ground of the tests in this folder."""

import ast
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LIBRARY = ROOT / "lib" / "stilltank"


@dataclass(frozen=True, order=True)
class Arrow:
    """One import: from a module to a module, and the names it takes from there (none when it takes the module)."""

    source: str
    target: str
    names: tuple[str, ...]


def module_name(path: Path, library: Path = LIBRARY) -> str:
    """``stilltank.units.reading`` for its file; a package's name for its ``__init__``."""
    parts = path.relative_to(library.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def modules(library: Path = LIBRARY) -> dict[str, Path]:
    """Every module of the library by its full name."""
    return {module_name(path, library): path for path in sorted(library.rglob("*.py"))}


@cache
def tree(path: Path) -> ast.Module:
    """The parsed source of a file."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def bound(path: Path) -> set[str]:
    """The names that a module defines, or takes from its own modules: they hide a module of the same name."""
    names: set[str] = set()
    for node in tree(path).body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            names.add(node.name)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {alias.asname or alias.name for alias in node.names}
    return names


def arrows(library: Path = LIBRARY) -> list[Arrow]:
    """Every import of one module of the library by another; late ones and those for types only count too."""
    known = modules(library)
    return sorted({arrow for name, path in known.items() for arrow in _of(name, path, known)})


def _of(name: str, path: Path, known: dict[str, Path]) -> list[Arrow]:
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    found: list[tuple[str, str | None]] = []
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found += [(alias.name, None) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            start = ".".join([*above, *([node.module] if node.module else [])])
            for alias in node.names:
                whole = f"{start}.{alias.name}"
                is_module = whole in known and alias.name not in bound(known[start])
                found.append((whole, None) if is_module else (start, alias.name))
    taken: dict[str, set[str]] = {}
    for target, what in found:
        if target in known and target != name:
            taken.setdefault(target, set()).update([what] if what else [])
    return [Arrow(name, target, tuple(sorted(names))) for target, names in taken.items()]


def circles(pairs: set[tuple[str, str]]) -> list[tuple[str, ...]]:
    """The groups of modules that lead back to themselves, each in the order of the alphabet (after Tarjan)."""
    below: dict[str, list[str]] = {}
    for source, target in sorted(pairs):
        below.setdefault(source, []).append(target)
        below.setdefault(target, [])
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    open_ones: list[str] = []
    found = []

    def visit(one: str) -> None:
        number[one] = lowest[one] = len(number)
        open_ones.append(one)
        for other in below[one]:
            if other not in number:
                visit(other)
                lowest[one] = min(lowest[one], lowest[other])
            elif other in open_ones:
                lowest[one] = min(lowest[one], number[other])
        if lowest[one] == number[one]:
            group = open_ones[open_ones.index(one) :]
            del open_ones[open_ones.index(one) :]
            if len(group) > 1:
                found.append(tuple(sorted(group)))

    for one in below:
        if one not in number:
            visit(one)
    return sorted(found)


def is_container(package: str) -> bool:
    """Whether a package only holds rooms and hands on no names of its own, as ``stilltank.science`` does."""
    path = modules().get(package)
    return (
        path is not None
        and path.name == "__init__.py"
        and not any(isinstance(node, ast.ImportFrom) and node.level for node in ast.walk(tree(path)))
        and not any(
            isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__"
            for node in tree(path).body
        )
    )


def room_of(name: str) -> str:
    """The room a module stands in: the first package or module below the containers."""
    parts = name.split(".")
    for length in range(1, len(parts) + 1):
        room = ".".join(parts[:length])
        if not is_container(room):
            return room
    return name


def inside(arrow: Arrow) -> str | None:
    """The room whose inside an import reaches into from elsewhere, past its face; None for an import that may be."""
    room = room_of(arrow.target)
    if arrow.target == "stilltank.units.types":  # the words of signatures, which clash with nobody's names
        return None
    return room if arrow.target != room and room_of(arrow.source) != room else None
