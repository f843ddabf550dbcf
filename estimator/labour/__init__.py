"""Tasks from norms: person-hours with their spread, elapsed hours, days and trips.

`norms` reads the minutes per unit of each task (low, likely, high) from `norms.toml`, and a firm's
own files over it; `hours` merges what the rules ask for into tasks and adds them up: mean and P80,
hours by group and by the clock, days and journeys. Hours are exact fractions; the spread alone is a
float, and no money hangs on it.
Which tasks a job has is for the rules to say; what an hour costs is for `estimator.cost`.
"""
