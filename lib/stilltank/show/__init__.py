"""Figures, panels and pages: they take results and show them."""
