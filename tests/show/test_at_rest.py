"""What is done at rest: at once in plain Python, and once after the last of many changes where a loop runs."""

import asyncio

from stilltank.show.panels import AtRest


def test_plain_python_does_it_at_once():
    done = []
    assert not AtRest(10).later(lambda: done.append(1))
    assert done == [1]


def test_of_many_changes_the_last_is_done_and_what_is_stopped_is_not():
    async def change():
        done, rest, other = [], AtRest(0.02), AtRest(0.02)
        for number in range(5):
            assert rest.later(lambda number=number: done.append(number))
        other.later(lambda: done.append("stopped"))
        other.stop()
        assert done == []
        await asyncio.sleep(0.2)
        return done

    assert asyncio.run(change()) == [4]
