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
    ("storage.fixing_code", "text", "", "item code of the fixing chosen for the storage brackets; "
     "\"\" where none is needed or none serves"),
    ("storage.fixing_resin_ml", "number", "ml", "resin that one fixing of a storage bracket takes"),
    ("storage.proof_tests", "whole", "", "fixings of the storage tested by pulling"),
    ("storage.anti_tip_code", "text", "", "item code of the fixing chosen for anti-tip brackets; "
     "\"\" where none is needed or none serves"),
    ("converter.fixing_code", "text", "", "item code of the fixing chosen for the converter; "
     "\"\" where none is needed or none serves"),
    ("converter.fixing_resin_ml", "number", "ml", "resin that one fixing of the converter takes"),
    ("converter.proof_tests", "whole", "", "fixings of the converter tested by pulling"),
    # roof and wind
)
