"""Writes and checks the reference pages under docs/; no part of the program.

`docs` is the command (`python -m tools.docs --write`, or `--check` as CI does). Each page has a
module that makes its text from the code and data themselves: `commands_page`, `facts_page`,
`rules_page`, `practice_page`, `hard_fields_page`, `problems_page` (with `problem_codes`, which
reads the source) and `modules_page`. `links` finds what the pages, README and DEVELOPERS name and
is not there. The same tree gives the same bytes: no day of today, no path of a machine, no
terminal's width.
Nothing here is imported by the program.
"""
