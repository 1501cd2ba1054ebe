"""Two learners on one computer: each code has its plan file, and nobody's is lost or overwritten."""

import pytest
from stilltank import lessons
from stilltank.season import own_tank
from stilltank.season.plan import Plan
from stilltank.show.panels import cells
from stilltank.units import Problem


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def learner(folder):
    return lessons.Learner()


@pytest.fixture
def draft(learner):
    return own_tank.Draft("my-tank.toml", learner, count=4)


def type_code(learner, code):
    learner._box.value = code


def counts(folder):
    """How many plants each plan file holds."""
    return {path.name: Plan.load(path).plants.count for path in folder.glob("my-tank*.toml")}


def test_two_learners_in_one_page_do_not_overwrite_each_other(folder, learner, draft):
    keep = own_tank.Keep(draft)
    assert "type your code first" in keep.whose.value
    for code, count in (("7B-12", 3), ("7B-13", 2)):
        type_code(learner, code)
        assert draft.plan.plants.count == 4, "not the plan of the code before"
        assert f"Code {code} has no plan yet" in keep.whose.value
        draft.change(count=count)
        keep.button.click()
        assert (
            f"This is the plan of code {code}. The button keeps it in my-tank-{code}.toml."
            in keep.whose.value
        )
    type_code(learner, "7B-12")
    assert draft.plan.plants.count == 3
    assert counts(folder) == {"my-tank-7B-12.toml": 3, "my-tank-7B-13.toml": 2}
    assert {path.name for path in folder.glob("*card*")} == {
        "my-tank-7B-12-card.html",
        "my-tank-7B-13-card.html",
    }


def test_next_day_the_code_is_typed_after_the_page_has_run(folder):
    Plan.make(count=2).save("my-tank-7B-12.toml")
    Plan.make(count=1).save("my-tank.toml")  # of whoever used the computer without a code
    learner = lessons.Learner()
    draft = own_tank.Draft("my-tank.toml", learner, count=4)
    assert draft.plan.plants.count == 1
    told = []
    draft.watch(lambda: told.append(draft.plan.plants.count))
    type_code(learner, "7b 12")
    assert told == [2], "panels show the plan of the code"
    draft.change(count=3)
    draft.reset()
    assert draft.plan.plants.count == 2, "the start is the learner's own"
    draft.change(count=3)
    draft.save()
    assert counts(folder) == {"my-tank.toml": 1, "my-tank-7B-12.toml": 3}


def test_a_code_typed_before_the_plan_is_opened_counts(folder, learner):
    Plan.make(count=2).save("my-tank-7B-12.toml")
    type_code(learner, "7B-12")
    draft = own_tank.Draft("my-tank.toml", learner, count=4)
    assert (draft.path.name, draft.plan.plants.count) == ("my-tank-7B-12.toml", 2)


def test_a_plan_made_without_a_code_goes_on_under_the_code(folder, learner, draft):
    draft.change(count=3)
    draft.save()
    draft.change(count=2)  # not saved yet
    type_code(learner, "7B-12")
    assert draft.plan.plants.count == 2, "what was typed before the code is not lost"
    assert "my-tank.toml stays as it is" in str(draft)
    draft.save()
    assert counts(folder) == {"my-tank.toml": 3, "my-tank-7B-12.toml": 2}


def test_what_was_not_saved_waits_for_its_code(folder, learner, draft):
    type_code(learner, "7B-12")
    draft.change(count=3)
    type_code(learner, "7B-13")
    assert draft.plan.plants.count == 4
    type_code(learner, "")
    assert (draft.path.name, draft.plan.plants.count) == ("my-tank.toml", 4)
    type_code(learner, "7B-12")
    assert draft.plan.plants.count == 3
    assert counts(folder) == {}, "typing a code writes nothing"


def test_a_faulty_file_of_one_code_stays_and_keeps_nobody_else_from_saving(folder, learner, draft):
    (folder / "my-tank-7B-12.toml").write_bytes(b"\x00\x01")
    keep = own_tank.Keep(draft)
    type_code(learner, "7B-12")
    assert 'role="alert"' in keep.whose.value
    keep.button.click()
    assert "was not replaced" in keep.status.value
    type_code(learner, "7B-13")
    keep.button.click()
    assert 'role="alert"' not in keep.whose.value + keep.status.value
    assert (folder / "my-tank-7B-12.toml").read_bytes() == b"\x00\x01"
    assert (folder / "my-tank-7B-13.toml").exists()


def test_a_page_that_another_one_overtook_does_not_overwrite_it(folder, learner, draft):
    type_code(learner, "7B-12")
    other_learner = lessons.Learner("7B-12")
    other = own_tank.Draft("my-tank.toml", other_learner, count=2)
    other.save()
    own_tank.Keep(draft).button.click()
    assert counts(folder) == {"my-tank-7B-12.toml": 2}


def test_a_box_that_runs_again_takes_over_what_hangs_on_the_old_one(folder, monkeypatch):
    """A learner who runs the first cell again and types another code writes to no file of the code before."""
    cell = ["code"]
    monkeypatch.setattr(cells, "_this_cell", lambda: cell[0])
    first = lessons.Learner("7B-12")
    cell[0] = "plan"
    draft = own_tank.Draft("my-tank.toml", first, count=4)
    cell[0] = "code"
    second = lessons.Learner()
    assert draft.path.name == "my-tank.toml"
    type_code(second, "7B-13")
    assert draft.path.name == "my-tank-7B-13.toml"
    assert first.progress is second.progress


def test_another_code_whose_file_is_faulty_does_not_answer_for_the_code_before(folder, learner):
    type_code(learner, "7B-12")
    (folder / "my-progress-7B-13.toml").write_text("format = 1\nhints = one\n")
    type_code(learner, "7B-13")
    assert "no answer is kept" in learner._status.value
    assert learner.progress.path is None
    type_code(learner, "7B-12")
    type_code(learner, "Robin")
    assert "Code 7B-12 stays in use" in learner._status.value


def test_a_plan_is_put_back_whole_and_the_panels_are_told(tmp_path):
    draft = own_tank.Draft(tmp_path / "my-tank.toml", count=4)
    before, told = draft.plan, []
    draft.watch(lambda: told.append(draft.plan), "listener")
    draft.change(count=2, colour="white")
    draft.put_back(before)
    assert draft.plan is before
    assert told[-1] is before
    with pytest.raises(Problem, match="plan"):
        draft.put_back("my-tank.toml")
