"""The van: which loads share one, and in which order things go in.

Data flow: loads (mass, longest piece, hours) and vans (payload, length inside, hours) -> who drives
what; the lines of a van's loads -> a stacking order. Pure: no database, no clock.
"""
