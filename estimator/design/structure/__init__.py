"""Brackets, wall fixings, wind and added roof load: sums for a first look.

`judge_roof` checks every plane of a job: `site_wind` finds the uplift, `judge_wind` the fixings
that hold it (`fixing_steps`), `judge_load` added load, ballast and distance to the edge, on the
sums of `wind` and `roof_load`.

Pure: frozen values in, frozen values out. Structure, wind and ballast are never decided here: a
result carries the sum, its limit and who must decide.
"""
