"""Renders a finished estimate: as JSON, workbook, quote page and text.

`contract` is the published JSON form of an estimate (its models in `contract_parts`, made by
`contract_of`, exact numbers by `exact_json`); every other paper reads that form, so that a kept
revision prints as it was quoted. `workbook/` holds the bill's workbook, one module for each sheet.
`quote_view` is all that a customer may see, `quote_page` sets it as a web page (`page_templates`
finds its template under `templates/`);
`terminal` is the summary, `explain` the answer of `why` (with `fact_words`), `job_list` the list of
jobs, `drift` what has become of the open quotes, `difference` what changed between two revisions
(with `compared`). `words` has the standing words, `cautions` the warnings that a job's papers
carry.

Purchase orders have papers of their own, from the order as it is kept: `order_text` and
`receipt_text` for the terminal, `order_page`, `order_ubl` and a workbook for the supplier.

A review's papers are made from its reports (`estimator.review.report`): `review_text`,
`review_json` (a published form), `review_page` with `pictures/`, and
`workbook.review_book`, with `review_cells` for what a cell looks like everywhere,
`review_spans` and `review_signs` for pictures in plain signs.

No arithmetic belongs here but the formulas of a workbook, which repeat the engine's figures (the
deposit is worked out by `estimator.price`); no database and no command.
"""
