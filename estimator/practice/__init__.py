"""Limits, factors, rates and printed tables of a country, each with source, standing and dates.

`pack` is what a job reads: the values in force on a day; it reads the folder of a country (`gb`,
`us`, ...) and a firm's own folder over it. `reading` gathers values, tables and every mistake of
the files; `entry` is what both kinds of entry share, `tables` the printed tables.
No number of a standard stands in code; which check uses a value is for rules and design to say.
They are check values: the standard, the local code and the licensed person decide.
"""
