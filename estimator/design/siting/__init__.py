"""Where storage and converter may go: places, clear space round them, and their set-out on a wall.

`place_facts` holds what is known of a place, `places` judges it by the rules of the practice pack;
`clearances` says how much space each thing asks for; `shapes`, `columns` and `wall_layout` find
where modules and converter hang or stand, in millimetres. Check values: the designer, the
fire-safety adviser and the makers' manuals decide.
"""
