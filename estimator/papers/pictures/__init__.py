"""Draws a report's picture as SVG: plain, for paper as for screens, no sign by colour alone.

    scale    round ticks, and where a value stands
    svg      shapes, text, patterns and legends; how wide a text is at the most
    rows     one row under the other: bars, intervals, stacks, waterfalls, points by name
    graph    points and lines over an axis of days, numbers or names
    of_report   which of them shows a report

A user unit is a pixel of a page at its usual size; a picture is `svg.WIDE` of them wide and as high
as it must be. The same report gives the same text.

Not here: the table beside the picture (`estimator.papers.review_page`); native charts of a workbook
(`estimator.papers.workbook.review_charts`).
"""
