"""What the firm's jobs say together: each question of the manager is one report.

    rows summed by the database (workflow) ─> one function a question ─> Report ─> papers

A report holds figures, a sentence that states the answer with its uncertainty, and what picture
shows it; `estimator.papers` writes it to the terminal, into the workbook and onto the page. How
a difference is parted and what may be said of few jobs stands in `estimator.outcome`.

`cells` are finished jobs as the database sums them, `effects` holds like with like. `margin`,
`norms` and `suppliers` judge by it; `waterfall`, `causes`, `stories` and `mix` say where margin
went; `win_rate` and `open_quotes` are of quotes, `omissions` and `concentration` of jobs;
`backlog`, `late_papers` and `drifting` look ahead. `wording` says amounts and shares in one way.

Not here: a database, a file, the layout of a page; what is learned for the next quote
(`estimator.learning`).
"""
