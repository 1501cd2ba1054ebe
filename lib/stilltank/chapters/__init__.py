"""The chapters: one folder each with its questions, examples, figures and panels; the bank and the keys over all."""
