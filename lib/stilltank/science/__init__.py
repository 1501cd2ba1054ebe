"""Pure calculation: takes and returns quantities; knows no plots, widgets, files or questions."""
