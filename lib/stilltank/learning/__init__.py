"""What stands between a learner and the science: stated checks, questions, predictions, progress."""
