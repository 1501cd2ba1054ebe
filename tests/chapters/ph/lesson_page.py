"""What the lesson page of chapter 2 says, in the library's words."""

from panel_keys import key
from stilltank.chapters.ph import panels
from stilltank.science import mixing, ph
from stilltank.units import Q

PAGE = "02_ph"
EXPLORED = (panels.dose_panel, panels.titration_panel, panels.week_panel)


def after(millimoles):
    """pH of the demo tap water after nitric acid, as a meter shows it."""
    tap = mixing.demo_water("quillgate-tap")
    return f"{ph.ph_after(tap, 'nitric acid 0.5 mol/L', Q(millimoles, 'mmol/L')):.1f}"


def at_rest():
    """Where the demo tap water ends that was set to 5.8 with nitric acid."""
    tap = mixing.demo_water("quillgate-tap")
    dose = ph.acid_dose(tap, 5.8, "nitric acid 0.5 mol/L")
    return f"{ph.ph_after(tap, 'nitric acid 0.5 mol/L', dose.amount, 'open'):.1f}"


def two_waters():
    """pH of equal parts without alkalinity, by their H+."""
    return f"{ph.ph_from_hydrogen((ph.hydrogen_from_ph(5) + ph.hydrogen_from_ph(7)) / 2):.1f}"


def ticket():
    charge = ph.alkalinity_as_charge(Q(100, "mg/L"))
    return f"Answer: {charge.m_as('mmol/L'):.2f} mmol; a little less today"


SAYS = {
    "projector 1": lambda: f"| nothing yet | one dose or two, and why? | {key(panels.dose_panel())} |",
    "projector 2": lambda: (
        "| alkalinity: 260 | twice the alkalinity at the same pH: what becomes of the dose? | "
        f"{key(panels.dose_panel(), alkalinity=260)} |"
    ),
    "projector 3": lambda: (
        "acid: 38 % nitric | a stronger bottle: is it easier to measure? | "
        f"{key(panels.dose_panel(), acid='nitric acid 38 %')} |"
    ),
    "projector 4": lambda: (
        "| acid in each litre: 1 mmol | how far does the first millimole take it? | "
        f"{key(panels.titration_panel(), amount=1)} |"
    ),
    "projector 5": lambda: (
        f"| acid in each litre: 2 mmol | and the second? | {key(panels.titration_panel(), amount=2)} |"
    ),
    "projector 6": lambda: (
        f"| acid in each litre: 3 mmol | and the third? | {key(panels.titration_panel(), amount=3)} |"
    ),
    "projector 7": lambda: (
        "| time after the dose: 14 days | the acid is still in; where does the meter stand? | "
        f"{key(panels.week_panel(), day=14)} |"
    ),
    "straight line": lambda: (
        f"the first millimole goes from {after(0)} to {after(1)}, the third from {after(2)} to {after(3)}"
    ),
    "at rest": lambda: f"with nitric acid this water ends near {at_rest()}",
    "averaged": lambda: f"without alkalinity it is {two_waters()}",
    "ticket": ticket,
    "board": lambda: (
        f"| none | {after(0)} |\n| 1 mmol | {after(1)} |\n| 2 mmol | {after(2)} |\n| 3 mmol | {after(3)} |"
    ),
    "range": lambda: (
        f"The tank shall stand between {ph.rule_of_thumb().lowest:g} and {ph.rule_of_thumb().highest:g}. "
        "Shade that band."
    ),
}
GIVEN = [
    "what is set to 5.8 stays at 5.8",
    "equal parts of pH 5 and pH 7 make pH 6",
    "an alkalinity of 100 mg/L as CaCO3",
    "for pH 5.8 today",
    "rinse at once for 15 minutes",
    "using diluted acid or citric acid (5 %)",
]
