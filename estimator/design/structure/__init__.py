"""Brackets, wall fixings, wind and added roof load: sums for a first look.

Pure: frozen values in, frozen values out. Structure, wind and ballast are never decided here: a
result carries the sum, its limit and who must decide.
"""
