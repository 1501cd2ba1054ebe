"""The learner's own tank: the draft of a plan, its panels, and the buttons that save and print."""

from .bench_panel import BenchPanel, bench_panel
from .bottles import Bottles
from .draft import Draft
from .log_forecast import ForecastPanel, forecast_panel
from .log_panel import LogPanel, log_panel
from .panels import crop_panel, growing_panel, place_panel, reading, season_panel, water_panel
from .place_months import PlaceMonths
from .plan_panel import Bound, PlanPanel
from .plants_panel import PlantsPanel, plants_panel
from .reading_panel import Left, ReadingPanel, left, reading_panel
from .review_list import Review
from .saving import Keep, Sheets, Tasks
from .shelf_panel import ShelfPanel, shelf_panel
from .side_by_side import SideBySide
from .signs_panel import SignsPanel, signs_panel
from .tank_panel import tank_panel
from .top_up_panel import top_up_panel
from .visit_panel import VisitPanel, log_path, visit_panel

__all__ = [
    "BenchPanel",
    "Bottles",
    "Bound",
    "Draft",
    "ForecastPanel",
    "Keep",
    "Left",
    "LogPanel",
    "PlaceMonths",
    "PlanPanel",
    "PlantsPanel",
    "ReadingPanel",
    "Review",
    "Sheets",
    "ShelfPanel",
    "SideBySide",
    "SignsPanel",
    "Tasks",
    "VisitPanel",
    "bench_panel",
    "crop_panel",
    "forecast_panel",
    "growing_panel",
    "left",
    "log_panel",
    "log_path",
    "place_panel",
    "plants_panel",
    "reading",
    "reading_panel",
    "season_panel",
    "shelf_panel",
    "signs_panel",
    "tank_panel",
    "top_up_panel",
    "visit_panel",
    "water_panel",
]
