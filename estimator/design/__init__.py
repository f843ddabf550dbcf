"""From surveyed facts to a design: the kit chosen, the roof laid out, all facts on one sheet.

`sheet` is the sheet and what an unknown fact is; `facts` lays survey and practice values on it.
`design` puts a job's design together: `kit` chooses panel, converter, storage module and rail (or
takes the wished ones); `plane_design` designs each plane with `roof` (what fits), `rails` (what
holds it) and `strings` (how many panels in one), and `plane_facts` lists the facts this adds.
Checks of their own stand in sub-packages, each result a sum beside its limit (`judged`).

Pure: frozen values in, frozen values out. An unknown fact gives an unknown result that names it.
What a design needs in items and hours is for `estimator.rules` to say; prices are read only
to choose among items that fit.
"""
