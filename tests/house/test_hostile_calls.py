"""No foreign exception leaves a public function: each is called with what it does not expect."""

import inspect

import pytest
from hostile import SKIPPED, calls_in_examples, faces, hostile_calls, known, public


@pytest.mark.parametrize("room", faces())
def test_a_wrong_argument_gets_a_sentence(room):
    found, allowed = set(hostile_calls(room)), set(known().get(room, ()))
    assert not found - allowed, (
        f"{len(found - allowed)} calls end in a foreign exception: {sorted(found - allowed)[:20]}"
    )
    assert not allowed - found, f"mended; run tests/house/hostile.py: {sorted(allowed - found)[:20]}"


def test_most_public_functions_are_really_called():
    calls = {
        (room, name): found
        for room in faces()
        for name, found in calls_in_examples(room).items()
        if inspect.isfunction(public(room)[name]) and name not in SKIPPED
    }
    assert len(calls) > 200
    assert sum(map(bool, calls.values())) > 0.8 * len(calls), [
        key for key, found in calls.items() if not found
    ]
