"""The workbook of an estimate: the bill, the crew's sheets and the price build-up.

Every sheet says at its head and in its print-out whether it is for the office only or may go to
site. Each formula carries the engine's figure as its cached value, so that a preview that does
not calculate shows the same as a spreadsheet that does. The same estimate gives the same bytes.

`review_book` is the workbook of a review, with a `review_sheet` for each report, its native charts
(`review_charts`) and the columns that these need beside a table (`chart_helpers`).
"""

from estimator.papers.workbook.book import bill_workbook

__all__ = ["bill_workbook"]
