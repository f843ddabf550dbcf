"""Assembly rules as data: what a job needs, from the facts on its sheet.

Formulas: `formula` compiles the checked subset of expressions (`expression` walks the tree,
`comparing` and `calls` are parts of it, `logic` reasons in three values, `exact` reckons).
Books: `dictionary` lists every fact, `load` reads and checks rule files (`entries`, `computed`,
`selectors`), `check` tells what a whole folder of them holds.
Jobs: `complete` adds assumed and computed facts to a sheet, `decide` asks one rule, `engine` runs
all (`choose` picks the item, `asking` gathers questions, `why_not` what stopped a rule, `shown`
says it with numbers, `trouble` is what goes wrong only with the facts of a job).
Rule files lie in `data/`; a firm's own folder overrides by id. Nothing here prices a job: prices
are read only to choose the cheapest item and to weigh a question.
"""
