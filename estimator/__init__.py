"""What a job needs, costs and earned: from survey notes to bill, hours, price and papers.

The data flow through the packages and modules in this order, and imports run only against it:
`survey` (the house) with `practice` (limits, dated) and `settings` (the firm) -> `design` (kit,
roof, strings; every fact on one sheet) -> `rules` (what the job needs, as data) -> `bill` (with
`netting`) and `labour` -> `cost` and `vat` -> `price` -> `scope` and `verdict` (firm or budget) ->
`estimate`, the whole chain in one function -> `drift` (what newer prices do to a quote that is out,
by `cost_parts`; `imagined` makes a price book of changed prices) -> `papers` -> `workflow` (use
cases: database and files) -> `cli`.
`difference` and `questions` make estimates again, with one piece otherwise each time.
`settings_file` reads a firm's settings, `settings_template` writes a blank one.

From survey to estimate all is pure: values in, values out; no database, file, clock or terminal,
and no random number. What can be bought belongs to `catalogue`.
"""

VERSION = "0.1.0"  # kept with each revision; the same as in pyproject.toml
