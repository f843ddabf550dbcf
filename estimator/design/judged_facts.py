"""What the checks of the design work out for the rules: path, type, unit and meaning of each fact.

Facts of a plane begin with "plane." and hold once for each; all others hold once for the job.
"""

from __future__ import annotations

JUDGED_FACTS: tuple[tuple[str, str, str, str], ...] = (
    # circuits and devices
    # strings and direct-current cable
    # connection to the network
    # places
    # walls
    # lifting
    # anchors
    # roof and wind
    ("plane.ballast_priced_kg", "number", "kg",
     "ballast priced: the engineer's, or a first sum while there is none; 0 = no flat roof"),
)
