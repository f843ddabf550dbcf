"""The end of a job: what must be read and ticked, what is expected of it, and which clocks run.

Data flow: `readings.toml` (`entries`) and what was designed (`design`) -> the readings that are
due, each with what it is held against (`due`, `expected`, `physics`) -> what was read, judged
(`judging`); and the days that run from the commissioning (`clocks`). `sheet_model` is the sheet
that goes to the site. Nothing here knows a database, a workbook or today. Limits come from the
practice pack; what the design or the pack does not say is noted, never guessed. A competent,
licensed person decides.
"""
