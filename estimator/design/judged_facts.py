"""What the checks of the design work out for the rules: path, type, unit and meaning of each fact.

Facts of a plane begin with "plane." and hold once for each; all others hold once for the job.
"""

from __future__ import annotations

JUDGED_FACTS: tuple[tuple[str, str, str, str], ...] = (
    # circuits and devices
    # strings and direct-current cable
    ("plane.strings_used", "whole", "",
     "strings that begin on the plane, as surveyed or by the best lawful layout"),
    ("plane.panels_per_string", "whole", "", "panels in the longest string of the plane"),
    ("plane.dc_mm2", "number", "mm²",
     "panel cable: smallest size on offer that keeps current, volt drop and voltage"),
    # connection to the network
    # places
    # walls
    # lifting
    ("lift.storage_people", "whole", "", "people who bring in and hang one storage module; 0 = as "
     "the norm says"),
    ("lift.converter_people", "whole", "", "people who bring in and hang the converter; 0 = as the "
     "norm says"),
    ("lift.panel_people", "whole", "", "people who carry and lay one panel; 0 = as the norm says"),
    ("lift.people", "whole", "", "most people that a lift of the job takes"),
    ("lift.aid", "flag", "", "some load of the job is lifted with an aid"),
    # anchors
    # roof and wind
)
