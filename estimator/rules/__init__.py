"""Assembly rules as data: what a job needs, from the facts on its sheet.

`facts` is the dictionary of facts, `formula` compiles the checked subset of expressions, `load`
reads and checks rule files, `engine` runs them. Rule files lie in `data/`; a firm's own folder
overrides by id. Nothing here prices anything.
"""
