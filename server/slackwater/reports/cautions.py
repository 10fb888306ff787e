"""Which cautions stand on paper? The usual ones; local codes and licensed practice come first."""

from __future__ import annotations

RANKS = (
    "Slackwater ranks and budgets; it does not design. Screen sizes and costs are for comparison: "
    "the screen that is built is designed by a qualified engineer to the criteria and permits that "
    "apply at the place."
)
BEST = "“Best” is always best for these inputs; their ranges stand beside them in the tool."
WORK = (
    "Work in and near water, on pumps, suction lines, power and lifting gear follows local safety "
    "law and licensed practice."
)
SUCTION = (
    "A running intake is a suction and a drowning hazard. Nobody enters the water near it until "
    "its flow is stopped, isolated and locked out under a permit."
)
POWER = (
    "Electrical work at the pump, and bringing power to it, is for licensed electricians; supply "
    "is isolated and locked out before a cover is opened."
)
LIFTING = (
    "Screens and suction lines are lifted with rated gear by people licensed to use it; nobody "
    "stands under a load or alone on a bank undercut by pumping or floods."
)
APPROVALS = (
    "Local codes decide. Works approvals and cultural heritage are checked, and traditional owners "
    "heard, before ground is broken."
)
