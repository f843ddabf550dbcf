"""An invented review with every kind of picture and cell, and names that try to break a paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from estimator.review.report import Chart, Report, ReportColumn, Review

LONG = "Solid brick, rendered, with a very long description that runs on and on past every margin"
RIGHT_TO_LEFT = "קיר בלוקים חלול"
HOSTILE = '<script>alert("x")</script> & <b>bold</b>'


def column(key: str, heading: str, kind: str = "text", *, total: bool = False) -> ReportColumn:
    return ReportColumn(key, heading, kind, total)  # type: ignore[arg-type]


WALLS = Report(
    name="margin-by-wall", question="Which wall loses money?",
    answer=(
        "Hollow block walls lost £1,204.50 on 9 jobs; their margin is between -9.1 % and -0.4 %.",
        "Of the others none can be told from the firm's mean of 14.8 %."),
    columns=(
        column("wall", "Wall"), column("jobs_count", "Jobs", "count", total=True),
        column("margin_minor", "Margin", "money", total=True),
        column("margin_share", "Margin of the price", "share"),
        column("low_share", "Likely from", "share"), column("high_share", "Likely to", "share"),
        column("hours_h", "Hours over the norm", "hours", total=True),
    ),
    rows=(
        (LONG, 31, 4_210_055, F(1, 6), 0.121, 0.205, D("-12.5")),
        ("=SUM(A1:A9)", 12, 1_020_000, F(1, 7), 0.07, 0.2, D("0")),
        (RIGHT_TO_LEFT, 9, -120_450, -0.05, -0.091, -0.004, D("61.25")),
        (HOSTILE, 3, 30_001, D("0.1"), None, None, None),
    ),
    currency="GBP", jobs=55,
    chart=Chart("bars with interval", "wall", ("margin_share",), "low_share", "high_share"),
    cautions=("Walls with fewer than 8 jobs are not ranked.",),
)
HEADS = Report(
    name="quoted-to-actual", question="Where did quoted and actual margin part?",
    answer=("Of £9,100.00 quoted, £5,475.25 was made; most of it went on labour at the roof.",),
    columns=(column("step", "Step"), column("amount_minor", "Amount", "money")),
    rows=(
        ("quoted margin", 910_000), ("agreed variations", 45_000), ("panels: price", -60_025),
        ("labour, roof: efficiency", -301_050), ("mounting: usage", 12_500),
        ("bought in: unplanned", -58_900), ("actual margin", 547_525),
    ),
    currency="GBP", jobs=55, chart=Chart("waterfall", "step", ("amount_minor",)),
)
UNDER_WATER = replace(
    HEADS, name="a-loss", question="Where did the job at the mill go wrong?",
    rows=(("quoted margin", 100_000), ("labour", -250_000), ("rescued", 90_000),
          ("actual margin", -60_000)))
WINS = Report(
    name="win-rate", question="Do we leave money or work on the table?",
    answer=("At 10 to 15 % margin 18 of 30 answered quotes were won (42 to 75 %).",),
    columns=(
        column("band", "Margin"), column("answered_count", "Answered", "count", total=True),
        column("won_share", "Won", "share"), column("low_share", "Likely from", "share"),
        column("high_share", "Likely to", "share")),
    rows=(("under 10 %", 12, F(3, 4), 0.468, 0.911), ("10 to 15 %", 30, F(18, 30), 0.423, 0.754),
          ("15 to 20 %", 25, F(9, 25), 0.202, 0.555), ("over 20 %", 0, None, None, None)),
    currency="GBP", jobs=67,
    chart=Chart("line", "band", ("won_share",), "low_share", "high_share"),
)
CASH = Report(
    name="cash-curve", question="When does the cash run low?",
    answer=("The account dips furthest on 1 March 2026, by £12,400.00.",),
    columns=(column("week", "Week from", "date"), column("in_minor", "In", "money", total=True),
             column("cash_minor", "Cash", "money"), column("owed_minor", "Owed", "money")),
    rows=tuple(
        (date(2026, 1 + week // 4, 1 + 7 * (week % 4)), 100_000 * (week % 5),
         (-1) ** week * 31_000 * week - 200_000, 90_000 + 10_000 * week)
        for week in range(24)),
    currency="GBP", jobs=40, chart=Chart("line", "week", ("cash_minor", "owed_minor")),
)
CAUSES = Report(
    name="hours-by-cause", question="What took the hours?",
    answer=("Rework took 31.5 h, most of it on storage.",),
    columns=(column("group", "Group"), column("planned_h", "As reckoned", "hours", total=True),
             column("rework_h", "Rework", "hours", total=True),
             column("waiting_h", "Waiting", "hours", total=True)),
    rows=(("roof", D("310.5"), D("12"), D("4.25")), ("electrical", D("205"), D("0"), D("18.5")),
          ("storage", D("99.75"), D("31.5"), None)),
    currency="GBP", jobs=55,
    chart=Chart("stacked bars", "group", ("planned_h", "rework_h", "waiting_h")),
)
NORMS = Report(
    name="norm-calibration", question="Which norms are off?",
    answer=("Slate hooks take 1.31 times the norm (1.12 to 1.53, 14 jobs).",),
    columns=(column("task", "Task"), column("jobs_count", "Jobs", "count"),
             column("ratio", "Actual to norm", "number"), column("low", "Likely from", "number"),
             column("high", "Likely to", "number")),
    rows=(("Slate hooks", 14, 1.31, 1.12, 1.53), ("Mount the converter", 40, 0.97, 0.9, 1.05),
          ("Trench, soft ground", 8, 1.08, 0.71, 1.64)),
    currency="GBP", jobs=55, chart=Chart("points", "task", ("ratio",), "low", "high"),
)
SUPPLIERS = Report(
    name="supplier-truth", question="Do suppliers keep price and day?",
    answer=("Counter North took 3.1 % more than it quoted.",),
    columns=(column("supplier", "Supplier"), column("quoted_minor", "Quoted", "money", total=True),
             column("charged_minor", "Charged", "money", total=True),
             column("late_days", "Days late", "number"), column("pays", "Pays returns", "text")),
    rows=(("Counter North", 8_000_000, 8_248_000, D("1.5"), None),
          ("+Counter South", 2_100_050, 2_099_950, D("0"), None),
          ("@Yard", 0, 5_000, None, None)),
    currency="GBP", jobs=55,
    chart=Chart("bars", "supplier", ("quoted_minor", "charged_minor")),
)
GAPS = Report(
    name="close-out-gaps", question="What is missing past its clock?",
    answer=("Nothing is overdue.",),
    columns=(column("job", "Job"), column("since", "Since", "date"), column("done", "Sent")),
    rows=(), currency="GBP", jobs=0)
EVERY = (WALLS, HEADS, UNDER_WATER, WINS, CASH, CAUSES, NORMS, SUPPLIERS, GAPS)
LAST_YEAR = Review(
    "Review of 2025", (date(2025, 1, 1), date(2025, 12, 31)), {},
    (replace(WALLS, rows=WALLS.rows[:2], jobs=43), replace(HEADS, rows=UNDER_WATER.rows)))
REVIEW = Review("Review of 2026", (date(2026, 1, 1), date(2026, 12, 31)),
                {"crew": "North", "wall": "=brick"}, EVERY, LAST_YEAR)
