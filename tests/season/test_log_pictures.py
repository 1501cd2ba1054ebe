"""What the pictures of a log say, and where they put what was read."""

import numpy as np
import pytest
from stilltank.science.refit import Week
from stilltank.season import log, log_pictures
from stilltank.season.plan import Plan
from stilltank.show.figures import TankSection
from stilltank.units import Problem


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    path = tmp_path_factory.mktemp("log") / "my-log.csv"
    rows = "2027-06-07,23,\n2027-06-11,21.5,\n2027-06-15,13,\n2027-06-18,18,\n2027-06-21,,20\n"
    path.write_text(f"date,level (cm),volume (L)\n{rows}", encoding="utf-8")
    plan = Plan.make(crop="basil", count=4, start="2027-05-10")
    return log.refit(plan, log.read(path), members=1000)


def test_readings_stand_where_they_were_read_and_kinds_differ_by_shape(found):
    cloud = log_pictures.LevelCloud()
    picture = cloud.show(found, log.forecast(found))
    assert list(cloud._read["stick"].get_ydata()) == pytest.approx([23, 21.5, 13, 18])
    (litres,) = cloud._read["litres"].get_ydata()
    assert found.planned[""].tank.volume(log_pictures.Q(litres, "cm")).m_as("L") == pytest.approx(20)
    assert len({line.get_marker() for line in cloud._read.values()}) == len(cloud._read)
    assert list(cloud._odd.get_ydata()) == pytest.approx([13])
    assert "Marked with a cross as surprising: 13 cm on 15 June." in picture.sentence


def test_a_cloud_is_drawn_again_as_if_new(found):
    plain, hot = log.forecast(found), log.forecast(found, week=Week(warmth="hot"))
    used = log_pictures.LevelCloud()
    used.show(found, hot)
    assert used.show(found, plain).svg() == log_pictures.LevelCloud().show(found, plain).svg()


def test_a_cloud_in_inches_is_the_same_cloud(found):
    coming = log.forecast(found, system="US")
    metric, us = (log_pictures.LevelCloud(system) for system in ("metric", "US"))
    metric.show(found, coming)
    assert " cm" not in us.show(found, coming).sentence
    ratio = np.asarray(metric._middle.get_ydata()) / np.asarray(us._middle.get_ydata())
    assert ratio == pytest.approx(np.full(len(ratio), 2.54))


def test_pictures_refuse_what_is_no_log(found):
    with pytest.raises(Problem):
        log_pictures.cloud_picture(found, "tomorrow")
    with pytest.raises(Problem):
        log_pictures.cloud_picture(found, log.forecast(found), drawing=TankSection())
    with pytest.raises(Problem):
        log_pictures.factors_picture(found.log)
