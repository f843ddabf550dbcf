"""One module for each use case: opens the session, loads, calls the stages, commits once.

`quote` prices a job, keeps the revision and writes the papers; `jobs` is the store of revisions,
`made_with` keeps beside each the texts it was made with, `job_states` records what became of a
job, `job_list` lists them, `drift` runs open quotes again, `difference` says what changed between
two revisions, `explain` answers why. `orders` splits a job's goods over suppliers (by
`order_basket`), `placing` makes purchase orders of what is short (by `order_needs`), `receipts`
takes in what comes of them, `order_records` keeps both, `order_papers` writes what goes to the
supplier. `catalogue` finds, adds and exchanges items; `rule_check` checks rules; `database` looks
after the database; `start` lays a firm's folder (its texts in `start_texts`). `folder` finds a
firm's folder, `firm` the files in it, `basis` gathers what a firm prices with on a day; `files`
writes files whole or not at all.

No sums of a job and no wording of papers belong here, and nothing of the terminal.
"""
