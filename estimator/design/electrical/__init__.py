"""Circuits, panel cable, demand and strings: checks of the electrical design, with their sources.

Pure functions on exact numbers. `figures` looks values up in the practice pack; `capacity`,
`grouping` and `voltage_drop` are the parts of a cable check, `circuit` holds them together and
`choose_cable` takes a size; `dc_cable`, `demand`, `strings` and `layouts` stand by themselves.
`judge_circuit` and `judge_strings` bring survey, kit and price book to them. Every result is a
check value: the wiring rules in force, the maker's manual and a licensed person come first.
"""
