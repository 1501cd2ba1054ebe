"""What a learner meets: the code box, questions, predictions, the sketch, their work."""

from .asking import AnswerBox, Asking, Learner, paragraph, predict
from .guess_figures import GuessAndResult, SketchSoFar
from .my_work import MyWork
from .sketch import sketch

__all__ = [
    "AnswerBox",
    "Asking",
    "GuessAndResult",
    "Learner",
    "MyWork",
    "SketchSoFar",
    "paragraph",
    "predict",
    "sketch",
]
