"""The buttons that make what is printed: files beside the plan, or a sentence."""

from datetime import date

from stilltank.season import own_tank


def made(folder, **choices):
    return own_tank.Sheets(own_tank.Draft(folder / "my-tank.toml", **choices))


def test_card_stick_and_log_are_made_beside_the_plan(tmp_path):
    sheets = made(tmp_path, count=4)
    sheets.paper.value = "Letter"
    for button in (sheets.card, sheets.stick, sheets.blank_log):
        button.click()
        assert not sheets.status.value
    assert {path.name for path in tmp_path.iterdir()} == {
        "my-tank-card.html",
        "my-tank-dipstick.html",
        "my-tank-dipstick.pdf",
        "my-tank-log.html",
        "my-tank-log-empty.csv",
    }
    assert "size: Letter landscape" in (tmp_path / "my-tank-log.html").read_text(encoding="utf-8")


def test_a_neighbour_sheet_needs_two_days_and_takes_a_level(tmp_path):
    sheets = made(tmp_path, crop="basil", count=6)
    sheets.neighbour.click()
    assert "Two days are needed" in sheets.status.value
    sheets.leave.value, sheets.back.value = date(2027, 6, 1), date(2027, 6, 14)
    sheets.level.value = "5 in"
    sheets.neighbour.click()
    assert not sheets.status.value
    assert "made for 12.7 cm on 1 June 2027" in (tmp_path / "my-tank-neighbour.html").read_text(
        encoding="utf-8"
    )
    sheets.level.value = "soon"
    sheets.neighbour.click()
    assert "soon" in sheets.status.value
    sheets.level.value, sheets.back.value = "", date(2027, 5, 1)
    sheets.neighbour.click()
    assert "later day" in sheets.status.value
