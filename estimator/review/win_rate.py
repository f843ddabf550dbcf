"""Do we leave money or work on the table: how often are quotes taken, by their margin?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.outcome.few_jobs import LEAST_TO_RANK, wilson
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import between, count, per_cent

BAND = 5  # points of margin in one band; common practice, no source
HIGHEST = 6  # the band from 30 % up


@dataclass(frozen=True, slots=True)
class Band:
    """Quotes that were sent, of one band of margin.

    Attributes:
        band: margin // 5 %, -1 for all below nothing, `HIGHEST` for all from there up.
        won, declined: as the customer said.
        ran_out: nobody answered, and it holds no longer.
        open: nobody answered, and it still holds.
        net_minor, won_minor: what was quoted, and what was taken.
    """

    band: int
    won: int
    declined: int
    ran_out: int
    open: int
    net_minor: int
    won_minor: int

    @property
    def answered(self) -> int:
        """Return how many are decided: one that ran out is lost."""
        return self.won + self.declined + self.ran_out

    @property
    def told(self) -> str:
        """Return the band in words."""
        if self.band < 0:
            return "below 0 %"
        low = self.band * BAND
        return f"{low} % and more" if self.band >= HIGHEST else f"{low} to {low + BAND} %"


def win_rate(bands: Sequence[Band], currency: str) -> Report:
    """Return the report on how many of the quotes that were sent were taken."""
    listed = sorted(bands, key=lambda band: band.band)
    quotes = sum(band.answered + band.open for band in listed)
    return Report(
        name="win-rate", question="How often are quotes taken, by their margin?",
        answer=tuple(_answer(listed)), columns=_COLUMNS, rows=tuple(map(_row, listed)),
        currency=currency, jobs=quotes,
        chart=Chart("points", "band", ("rate_share",), "low_share", "high_share")
        if listed else None,
        cautions=("Which quotes were lost to a rival's price and which to none is not known; a "
                  "customer who was quoted a high margin may differ in more than that.",))


_COLUMNS = (
    ReportColumn("band", "Margin quoted"),
    ReportColumn("quotes", "Quotes", "count", total=True),
    ReportColumn("won", "Taken", "count", total=True),
    ReportColumn("declined", "Declined", "count", total=True),
    ReportColumn("ran_out", "Ran out", "count", total=True),
    ReportColumn("open", "Still open", "count", total=True),
    ReportColumn("rate_share", "Taken of those decided", "share"),
    ReportColumn("low_share", "at least", "share"),
    ReportColumn("high_share", "at most", "share"),
    ReportColumn("net_minor", "Quoted", "money", total=True),
    ReportColumn("won_minor", "Taken, money", "money", total=True),
)


def _row(band: Band) -> tuple[Cell, ...]:
    rate: tuple[Cell, ...] = (None, None, None)
    if band.answered:
        rate = (band.won / band.answered, *wilson(band.won, band.answered))
    return (band.told, band.answered + band.open, band.won, band.declined, band.ran_out, band.open,
            *rate, band.net_minor, band.won_minor)


def _answer(bands: Sequence[Band]) -> Iterator[str]:
    won, decided = sum(band.won for band in bands), sum(band.answered for band in bands)
    if not decided:
        yield "No quote that was sent in the period is decided yet."
        return
    yield (f"{won} of {count(decided, 'quote')} that {'is' if decided == 1 else 'are'} decided "
           f"{'was' if won == 1 else 'were'} taken: {per_cent(won / decided)} (likely "
           f"{between(*wilson(won, decided))}).")
    ranked = [band for band in bands if band.answered >= LEAST_TO_RANK]
    if len(ranked) < 2:
        yield (f"There are not two bands of margin with {LEAST_TO_RANK} decided quotes: nothing is "
               "to be said of what margin does.")
        return
    low, high = ranked[0], ranked[-1]
    rates = [wilson(band.won, band.answered) for band in (low, high)]
    told = (f"At {low.told} {low.won} of {low.answered} were taken (likely {between(*rates[0])}), "
            f"at {high.told} {high.won} of {high.answered} (likely {between(*rates[1])})")
    if rates[0][0] > rates[1][1]:
        yield f"{told}: the higher margin is taken less often."
    elif rates[1][0] > rates[0][1]:
        yield f"{told}: the higher margin is taken more often; look at what else these jobs share."
    else:
        yield f"{told}: they overlap, so what margin does cannot be told from these quotes."
