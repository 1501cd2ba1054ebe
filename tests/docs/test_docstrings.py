"""Docstrings of public names are numpydoc's; what is not yet so is listed in exceptions.toml, which may only shrink."""

import docstring_faults
import pytest
from faces import faces
from structure import LIBRARY


@pytest.fixture(scope="module")
def there():
    """The faults of today."""
    return docstring_faults.there()


@pytest.mark.parametrize("face", faces())
def test_docstrings(face, there):
    found = {(name, code) for (where, name), codes in there.items() if where == face for code in codes}
    listed = {
        (name, code)
        for (where, name), codes in docstring_faults.listed().items()
        if where == face
        for code in codes
    }
    new = [f"{name}: {code} {docstring_faults.RULES[code]}" for name, code in sorted(found - listed)]
    assert not new, f"{face} has new faults"
    mended = sorted(listed - found)
    assert not mended, f"mended: run python tests/docs/docstring_faults.py to take {mended} out of the list"


def test_the_list_names_no_face_that_is_gone():
    assert {face for face, _ in docstring_faults.listed()} <= set(faces())


def test_no_docstring_is_kept_from_being_looked_at():
    """numpydoc skips a rule where a comment asks it to."""
    for path in LIBRARY.rglob("*.py"):
        assert "numpydoc ignore" not in path.read_text(encoding="utf-8"), path.name


def test_a_fault_is_seen():
    """A test of the test."""

    def good(depth):
        """
        Find the level.

        Parameters
        ----------
        depth : Quantity
            From the rim down, cm.

        Returns
        -------
        Quantity
            In cm.

        Examples
        --------
        >>> 1
        1
        """
        return depth

    def bad(depth):
        """find the level

        Example
        -------
        >>> 1
        1
        """
        return depth

    def silent():
        return None

    assert docstring_faults.faults(good) == ()
    assert {"GL06", "SS02", "SS03", "PR01", "RT01", "EX01"} <= set(docstring_faults.faults(bad))
    assert docstring_faults.faults(silent) == ("GL08",)
