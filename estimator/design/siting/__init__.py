"""Where storage and converter may go: places, clear space round them, and their set-out on a wall.

`place_facts` holds what is known of a place, `places` judges it by the rules of the practice pack;
`clearances` says how much space each thing asks for. `from_survey` reads a wall and what goes on it
(`shapes`, `bodies`), `room`, `stacks` and `columns` search where modules and converter hang or
stand, `wall_layout` and `brackets` give their coordinates in millimetres, `linking` counts the
stacks that makes, and `judge_wall` tells it all to findings and rules. Check values: the designer,
the fire-safety adviser and the makers' manuals decide.
"""
