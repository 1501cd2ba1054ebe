"""The iCalendar file as an independent, well-kept library reads it."""

import datetime

import pytest
from stilltank.science import calendar, crops
from stilltank.show.pages import calendar_text

icalendar = pytest.importorskip("icalendar")


@pytest.mark.parametrize("name", crops.names())
def test_what_we_write_is_what_it_reads(name):
    sow = "2026-02-20" if name in ("stock", "pansy", "spinach") else "2026-04-20"
    todo = calendar.tasks(calendar.schedule(name, "new-york", sow=sow))
    found = icalendar.Calendar.from_ical(calendar_text(todo, "2026-03-01T12:00+02:00", "Tub; 1, left\\right"))
    assert found["VERSION"] == "2.0"
    events = found.walk("VEVENT")
    assert len(events) == len(todo)
    for event, task in zip(events, todo, strict=True):
        assert not event.errors
        assert event.decoded("DTSTART") == task.date
        assert event.decoded("DTEND") == task.until + datetime.timedelta(days=1)
        assert str(event["SUMMARY"]) == f"Tub; 1, left\\right: {task.title}"
        assert str(event["DESCRIPTION"]).startswith(task.text)
        assert event.decoded("DTSTAMP") == datetime.datetime(2026, 3, 1, 10, tzinfo=datetime.UTC)


def test_it_would_write_the_same_lines():
    """Its own writer, given what it read, folds and escapes as ours does; it may order the properties otherwise."""
    todo = calendar.tasks(calendar.schedule("snapdragon", "new-york", sow="2026-03-15"))
    ours = calendar_text(todo, "2026-03-01", "Tub; 1, left")
    theirs = icalendar.Calendar.from_ical(ours).to_ical().decode()
    assert sorted(theirs.replace("\r\n ", "").split("\r\n")) == sorted(
        ours.replace("\r\n ", "").split("\r\n")
    )
