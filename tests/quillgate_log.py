"""Write the invented log of Quillgate: three tubs, a blocked hole, a wrong reading, a top-up without its litres.

``python tests/quillgate_log.py`` writes data/demo/log-quillgate.csv anew; a test holds the file to it. The tubs are
grown as the planted ones are, by a simulation that shares nothing with the water budget.
"""

import csv
import io
import math
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from planted import _coefficient
from stilltank.science import crops, demand, tank, weather
from stilltank.units import Q

FILE = Path(__file__).parents[1] / "data" / "demo" / "log-quillgate.csv"
START = date(2027, 5, 10)
DAYS = 60
TUB = tank.preset("quillgate-tub")
HEADS = (
    *("date", "time", "tank", "observer", "level (cm)", "pH", "EC (mS/cm)", "rain (mm)", "added water (L)"),
    *("added mix (L)", "mix strength (%)", "stems cut", "event", "method", "note"),
)
CROPS = {"A": "basil", "B": "basil", "C": "zinnia"}
FACTORS = {"A": 1.15, "B": 1.05, "C": 0.8}  # times what the table says; nobody of Quillgate knows them
BLOCKED = (26, 32)  # days between which leaves lie in the hole of B


def rows():
    """All rows of the log, by day and tank."""
    rng = np.random.default_rng(416)
    record = weather.record("quillgate")
    begin = int((np.datetime64("2024-05-10") - record.dates[0]).astype(int))
    et = demand.reference_et(record).m_as("mm/day")[begin : begin + DAYS + 1]
    rain = record.precipitation.m_as("mm")[begin : begin + DAYS + 1].copy()
    rain[28] = 60.0  # a storm, while the hole of B is blocked
    visits = [0, 7, 11, 14, 18, 21, 25, 29, 32, 35, 39, 42, 46, 49, 53, 56, 59]
    made = []
    for code, crop in CROPS.items():
        made += _tub(rng, code, crop, et, rain, visits)
    return sorted(made, key=lambda row: (row["date"], row["tank"]))


def text():
    """The file."""
    out = io.StringIO()
    writer = csv.DictWriter(out, HEADS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows())
    return out.getvalue()


def _tub(rng, code, crop, et, rain, visits):
    height = lambda litres: float(TUB.level(Q(litres, "L")).m_as("cm"))  # noqa: E731
    volume = lambda depth: float(TUB.volume(Q(depth, "cm")).m_as("L"))  # noqa: E731
    leaves = 4 * crops.crop(crop).canopy_area.m_as("m^2")
    lid = TUB.lid_area.m_as("m^2")
    share = 0.7 if code == "B" else 0.2  # the lid of B lies askew
    grown = demand.full_cover_day(crop)
    now, fallen, made = volume(25), 0.0, []
    for day in range(DAYS):
        hole = volume(30) if code == "B" and BLOCKED[0] <= day < BLOCKED[1] else volume(25.5)
        now = min(now, hole)
        if day in visits:
            row, now = _visit(rng, code, day, now, height, volume, rain, fallen)
            fallen = 0.0
            made.append(row)
            if code == "A" and day == 42:
                other = "A1" if row["observer"] != "A1" else "B2"
                again = f"{round(2 * (height(now) + 0.6)) / 2:g}"
                made.append({**row, "observer": other, "level (cm)": again, "pH": "", "EC (mS/cm)": ""})
        fallen += rain[day]
        now = min(now + share * rain[day] * lid, hole)
        wanted = et[day] * leaves * _coefficient(crop, (day + 1) / 0.95, grown)
        wanted *= FACTORS[code] * math.exp(rng.normal(0, 0.1))
        now = max(now - wanted, volume(1))
    return made


def _visit(rng, code, day, now, height, volume, rain, fallen):
    depth = height(now) + rng.normal(0, 0.25)
    row = {
        "date": (START + timedelta(days=day)).isoformat(),
        "time": "16:30" if day == 39 else "",
        "tank": code,
        "observer": ("A1", "B2", "C3")[int(rng.integers(3))],
        "level (cm)": f"{round(2 * depth) / 2:g}",
        "method": "ruler",
    }
    if code == "A" and day:
        row["rain (mm)"] = f"{fallen:.0f}"
    if day % 14 == 0:
        row["pH"] = f"{rng.normal(6.0, 0.15):.1f}"
        row["EC (mS/cm)"] = f"{rng.normal(1.7, 0.1):.1f}"
    if day == 0:
        row |= {"level (cm)": "25", "event": "filled"}
    if code == "B" and day == 29:
        row |= {"event": "hole blocked", "note": "leaves in the hole, cleared on Friday"}
    if code == "B" and day == 32:
        row["event"] = "hole cleared"
    if code == "C" and day == 35:
        row |= {"level (cm)": f"{float(row['level (cm)']) - 10:g}", "note": "read in a hurry"}
    if code == "A" and day == 46:
        row |= {"event": "topped up", "note": "filled up a bit"}
        now += 2.5
    elif day in (39, 49, 53, 56) and height(now) < 17:
        row["added mix (L)"], row["mix strength (%)"], row["event"] = "2.5", "50", "topped up"
        now += 2.5 * (1 + rng.normal(0, 0.05))
    if code == "C" and day in (53, 59):
        row |= {
            "stems cut": "6",
            "event": "; ".join(each for each in (row.get("event", ""), "stems cut") if each),
        }
    return row, now


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
