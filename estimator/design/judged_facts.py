"""What the checks of the design work out for the rules: path, type, unit and meaning of each fact.

Facts of a plane begin with "plane." and hold once for each; all others hold once for the job.
"""

from __future__ import annotations

_Fact = tuple[str, str, str, str]


def _circuit(group: str, circuit: str) -> tuple[_Fact, ...]:
    """Return the facts of a circuit that is given its cable; 0 for a cable that it has none of."""
    carries = "must carry clipped to a wall, so that it serves on its hardest leg"
    return (
        (f"{group}.flat_mm2", "number", "mm²", f"size of the flat cable of {circuit}"),
        (f"{group}.flat_clipped_a", "number", "A", f"what the flat cable of {circuit} {carries}"),
        (f"{group}.flat_lengths", "whole", "", f"lengths of flat cable in {circuit}"),
        (f"{group}.armoured_mm2", "number", "mm²", f"size of the armoured cable of {circuit}"),
        (f"{group}.armoured_clipped_a", "number", "A",
         f"what the armoured cable of {circuit} {carries}"),
        (f"{group}.armoured_lengths", "whole", "", f"lengths of armoured cable in {circuit}"),
        (f"{group}.over_to_armoured", "flag", "",
         f"no flat cable serves: {circuit} is armoured all the way"),
        (f"{group}.rating_a", "number", "A",
         f"rating of the device that the cable of {circuit} is sized for"),
    )


JUDGED_FACTS: tuple[_Fact, ...] = (
    # circuits and devices
    *_circuit("circuit", "the converter's circuit"),
    *_circuit("backup", "the backup feed"),
    # strings and direct-current cable
    ("plane.strings_used", "whole", "",
     "strings that begin on the plane, as surveyed or by the best lawful layout"),
    ("plane.panels_per_string", "whole", "", "panels in the longest string of the plane"),
    ("plane.dc_mm2", "number", "mm²",
     "panel cable: smallest size on offer that keeps current, volt drop and voltage"),
    # connection to the network
    ("network.route", "text", "", "way to the network: inform after; ask first; ask first, with "
     "export limit; ask first, several premises"),
    ("network.per_phase_a", "number", "A",
     "output of the new converter and of what is already there on the heaviest phase"),
    ("network.over_limit", "flag", "", "more on the heaviest phase than may be fitted first"),
    ("network.limiter", "flag", "", "an export limiter is due"),
    ("network.answer_weeks", "whole", "", "weeks to the network's answer, 0 without a wait"),
    ("network.most_weeks", "whole", "", "weeks to its agreement at the latest, 0 without a wait"),
    # places
    # walls
    ("storage.columns", "whole", "", "stacks of storage modules as set out: on the floor each "
     "stack, on a wall the modules within reach of each other's leads; without a measured wall "
     "modules over the most in a stack"),
    # lifting
    ("lift.storage_people", "whole", "", "people who bring in and hang one storage module; 0 = as "
     "the norm says"),
    ("lift.converter_people", "whole", "", "people who bring in and hang the converter; 0 = as the "
     "norm says"),
    ("lift.panel_people", "whole", "", "people who carry and lay one panel; 0 = as the norm says"),
    ("lift.people", "whole", "", "most people that a lift of the job takes"),
    ("lift.aid", "flag", "", "some load of the job is lifted with an aid"),
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
    ("plane.ballast_priced_kg", "number", "kg",
     "ballast priced: the engineer's, or a first sum while there is none; 0 = no flat roof"),
)
