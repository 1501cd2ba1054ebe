"""The iCalendar file, read back by a small reader of its own that follows RFC 5545 line by line.

tests/reference reads it with an independent library.
"""

import dataclasses
import datetime
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import calendar, crops
from stilltank.show.pages import calendar_file, calendar_text, cautions
from stilltank.units import Problem, Q, Unreadable

TASKS = calendar.tasks(calendar.schedule("snapdragon", "new-york", sow="2026-03-15"))
MADE = "2026-03-01"
UNESCAPED = {"\\\\": "\\", "\\;": ";", "\\,": ",", "\\n": "\n", "\\N": "\n"}


def events(text):
    """Properties of each event, by name; parameters are kept in the name. Checks the form on the way."""
    raw = text.encode()
    assert raw.endswith(b"\r\n")
    physical = raw[:-2].split(b"\r\n")
    for line in physical:
        assert len(line) <= 75
        assert b"\n" not in line
        assert b"\r" not in line
        line.decode()  # no letter is cut in two
    logical = re.sub("\r\n[ \t]", "", text)[:-2].split("\r\n")
    assert logical[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert logical[2].startswith("PRODID:")
    assert logical[-1] == "END:VCALENDAR"
    found, current = [], None
    for line in logical[1:-1]:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            current = {}
        elif line == "END:VEVENT":
            found.append(current)
            current = None
        elif current is not None:
            assert name not in current
            current[name] = re.sub(r"\\[\\;,nN]", lambda match: UNESCAPED[match[0]], value)
    assert current is None
    return found


def day(text):
    return datetime.datetime.strptime(text, "%Y%m%d").date()


def test_every_task_is_an_event_of_whole_days():
    found = events(calendar_text(TASKS, MADE))
    assert len(found) == len(TASKS)
    for event, task in zip(found, TASKS, strict=True):
        assert day(event["DTSTART;VALUE=DATE"]) == task.date
        assert day(event["DTEND;VALUE=DATE"]) == task.until + datetime.timedelta(days=1)  # RFC 5545, 3.8.2.2
        assert event["SUMMARY"] == task.title
        assert event["DESCRIPTION"].startswith(task.text)
        assert event["DTSTAMP"] == "20260301T000000Z"
        assert event["CATEGORIES"] == calendar.TASK_KINDS[task.kind]
    assert found[-1]["DESCRIPTION"].endswith(cautions()["emptying"]["short"])


@pytest.mark.parametrize(("letters", "lines"), [(67, 1), (68, 2), (141, 2), (142, 3)])
def test_a_line_is_folded_at_75_octets_and_not_before(letters, lines):
    """RFC 5545, 3.1. "SUMMARY:" takes 8 of the first 75; each further line begins with a space and has room for 74."""
    task = dataclasses.replace(TASKS[0], title="x" * letters)
    text = calendar_text([task], MADE)
    start = text.index("SUMMARY:")
    folded = text[start : text.index("DESCRIPTION", start)].removesuffix("\r\n").split("\r\n")
    assert len(folded) == lines
    assert all(len(line) == 75 for line in folded[:-1])


def test_identifiers_are_unique_and_stay():
    one, two = (events(calendar_text(TASKS, made)) for made in (MADE, "2026-04-01"))
    names = [event["UID"] for event in one]
    assert len(set(names)) == len(names)
    assert names == [event["UID"] for event in two]
    other = [event["UID"] for event in events(calendar_text(TASKS, MADE, "Tub 2"))]
    assert not set(names) & set(other)
    twice = [event["UID"] for event in events(calendar_text([*TASKS, *TASKS], MADE))]
    assert len(set(twice)) == 2 * len(TASKS)


def test_the_same_tasks_give_the_same_text():
    assert calendar_text(TASKS, MADE) == calendar_text(iter(TASKS), datetime.date(2026, 3, 1))


# RFC 5545, 3.3.11, prints this description and how it is written.
RFC_TEXT = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
RFC_WRITTEN = "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."


def told(text):
    return calendar_text([dataclasses.replace(TASKS[0], text=text)], MADE)


def test_the_example_of_the_standard():
    assert RFC_WRITTEN in re.sub("\r\n ", "", told(RFC_TEXT))


@given(
    st.text(
        st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]) | st.sampled_from("\n\t,;\\"),
        max_size=300,
    )
)
@settings(deadline=None)
def test_any_text_comes_back(text):
    (event,) = events(told(text))
    assert event["DESCRIPTION"] == text


@given(st.integers(0, 160), st.sampled_from(["a", "ü", "花", "🌻"]))
@settings(deadline=None)
def test_lines_are_folded_between_letters(count, letter):
    (event,) = events(told(letter * count))
    assert event["DESCRIPTION"] == letter * count


@pytest.mark.parametrize("name", crops.names())
def test_every_crop_makes_a_calendar(name):
    sow = "2026-02-20" if name in ("stock", "pansy", "spinach") else "2026-04-20"
    todo = calendar.tasks(calendar.schedule(name, "new-york", sow=sow))
    assert len(events(calendar_text(todo, MADE, "Tub; 1, left"))) == len(todo)


def test_a_succession_says_which_sowing():
    several = calendar.succession("rocket", "new-york", "2026-06-01", "2026-06-15", every=Q(7, "day"))
    titles = {event["SUMMARY"] for event in events(calendar_text(calendar.tasks(several), MADE))}
    assert {"Sow: Rocket", "Sow: Rocket (sowing 2)", "Sow: Rocket (sowing 3)"} <= titles


@pytest.mark.parametrize(
    ("made", "stamp"),
    [
        ("2026-03-01T12:00+02:00", "20260301T100000Z"),
        (
            datetime.datetime(2026, 3, 1, 1, tzinfo=datetime.timezone(datetime.timedelta(hours=9))),
            "20260228T160000Z",
        ),
        (datetime.date(2024, 2, 29), "20240229T000000Z"),
    ],
)
def test_the_time_it_was_made_is_written_in_utc(made, stamp):
    assert events(calendar_text(TASKS, made))[0]["DTSTAMP"] == stamp


def test_the_file(tmp_path):
    path = calendar_file(TASKS, tmp_path / "my-season", MADE, "Tub 1")
    assert path == tmp_path / "my-season.ics"
    assert path.read_bytes() == calendar_text(TASKS, MADE, "Tub 1").encode()
    assert calendar_file(TASKS, tmp_path / "other.ICS", MADE).name == "other.ICS"


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: calendar_text([], MADE), Problem, "no tasks"),
        (lambda: calendar_text(["sow"], MADE), Problem, "'sow' is none"),
        (lambda: calendar_text(None, MADE), Problem, "None is none"),
        (lambda: calendar_text(TASKS, None), Unreadable, "None is none"),
        (lambda: calendar_text(TASKS, "today"), Unreadable, "'today' is no time"),
        (lambda: calendar_text(TASKS, "2026-03-01T12:00"), Problem, "needs its zone"),
        (lambda: calendar_text(TASKS, MADE, 7), Problem, "name of a tank"),
        (lambda: told("a\0b"), Problem, "control character"),
        (lambda: calendar_file(TASKS, "", MADE), Unreadable, "name of a file"),
        (lambda: calendar_file(TASKS, None, MADE), Unreadable, "name of a file"),
        (lambda: calendar_file(TASKS, "no-such-folder/mine", MADE), Problem, "could not be saved"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
