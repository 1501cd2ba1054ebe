"""What a log asks for: its columns, events and ways of measuring."""

EVENTS = (
    "filled",
    "topped up",
    "replaced",
    "hole blocked",
    "hole cleared",
    "lid off",
    "moved",
    "leak",
    "pest",
    "flower",
    "stems cut",
    "harvest",
    "plant died",
)
METHODS = ("ruler", "dipstick", "scale", "tilt", "lift", "meter", "strip", "drops", "eye")
LIFTS = ("light", "half", "heavy")
WEIGHED_WITH = ("lid and plants", "lid", "nothing")
STATUSES = ("struck", "corrected")  # a row that counts has none
