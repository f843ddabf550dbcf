"""Sheets that go out to be written on and come back: what is picked, what comes back to the store.

Data flow: a sheet's record (`estimator.van.sheet_model`) -> pages of cells, each locked or to be
written on (`pages`) -> a workbook (`book`); and the cells of a workbook that came back, held
against the same pages -> what was written on each row (`marks`). Nothing here decides what is
moved.
"""
