"""What the roof design says of each plane: name, type, unit and meaning of every fact."""

from __future__ import annotations

PLANE_FACTS: tuple[tuple[str, str, str, str], ...] = (
    ("panels_placed", "whole", "", "panels laid out on the plane"),
    ("panels_that_fit", "whole", "", "most panels that fit inside the clear edge"),
    ("fits", "flag", "", "the panels wanted fit inside the clear edge and off obstructions"),
    ("portrait", "flag", "", "the long side of the panels runs up the slope"),
    ("block_rows", "whole", "", "rows of panels, a row parted by an obstruction counted apart"),
    ("block_columns", "whole", "", "panels in the longest row"),
    ("block_width_m", "number", "m", "width of the array along the eaves"),
    ("block_height_m", "number", "m", "height of the array up the slope"),
    ("array_area_m2", "number", "m²", "area of the panels"),
    ("array_perimeter_m", "number", "m", "outline of the array"),
    ("rail_lines", "whole", "", "rail lines, two under every row"),
    ("rail_line_m", "number", "m", "length of the longest rail line"),
    ("rail_sticks", "whole", "",
     "sticks of the kit's rail that the cut of all planes opens for this one"),
    ("rail_other_code", "text", "",
     "item code of a second length of the rail; \"\" where none makes the job cheaper"),
    ("rail_other_sticks", "whole", "", "sticks of the second length opened for this plane"),
    ("joiners", "whole", "", "rail joiners: on each line one fewer than its pieces"),
    ("fixings", "whole", "", "roof fixings, by span or by uplift, whichever is more"),
    ("fixing_step_m", "number", "m",
     "distance between fixings in whole rafter spacings; 0 = even one spacing exceeds the span"),
    ("fixing_item", "text", "", "item code of the roof fixing chosen for the covering"),
    ("fixing_screws", "whole", "", "screws in each roof fixing"),
)
