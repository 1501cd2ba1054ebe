"""The learner's own tank: the draft of a plan, its panels, and the buttons that save and print."""

from .draft import Draft
from .panels import crop_panel, growing_panel, place_panel, reading, season_panel, tank_panel, water_panel
from .place_months import PlaceMonths
from .plan_panel import Bound, PlanPanel
from .plants_panel import PlantsPanel, plants_panel
from .saving import Keep, Sheets, Tasks
from .shelf_panel import ShelfPanel, shelf_panel

__all__ = [
    "Bound",
    "Draft",
    "Keep",
    "PlaceMonths",
    "PlanPanel",
    "PlantsPanel",
    "Sheets",
    "ShelfPanel",
    "Tasks",
    "crop_panel",
    "growing_panel",
    "place_panel",
    "plants_panel",
    "reading",
    "season_panel",
    "shelf_panel",
    "tank_panel",
    "water_panel",
]
