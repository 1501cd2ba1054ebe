"""What notebooks ask: questions and worked examples of the bank, by id, with a learner's numbers."""

import ipywidgets as widgets

from stilltank.lessons import AnswerBox, Asking, Learner, paragraph

from .bank import ask, find, work_through


def questions(learner: Learner, *ids: str) -> widgets.VBox:
    """Questions or choices of the bank, with the learner's numbers, a box, feedback and the way on request."""

    def make(code: str) -> list[widgets.Widget]:
        parts: list[widgets.Widget] = []
        for number, id in enumerate(ids, 1):
            asked = ask(id, code)
            lead = f"{number}. " if len(ids) > 1 else ""
            parts += [
                paragraph(f"{lead}{asked.text}"),
                AnswerBox(learner, asked, find(id).chapter, f"Answer {number}", id),
            ]
        return parts

    return Asking(learner, make)


def worked(learner: Learner, id: str) -> widgets.VBox:
    """A worked example and its fading: shown whole, last step blank, two blank, a problem of one's own."""

    def make(code: str) -> list[widgets.Widget]:
        parts: list[widgets.Widget] = []
        for stage in work_through(id, code):
            parts.append(paragraph(f"{stage.name[0].upper()}{stage.name[1:]}. {stage.text}", bold=True))
            for number, line in enumerate(stage.lines, 1):
                parts.append(paragraph(f"Step {number}, {line.label}: {line.text}"))
                if line.asked:
                    key = f"{id}-{stage.number}-step-{number}"
                    parts.append(AnswerBox(learner, line.asked, stage.example.chapter, f"Step {number}", key))
        return parts

    return Asking(learner, make)
