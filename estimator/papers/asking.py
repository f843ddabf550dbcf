"""The call list, and what breaks a quote: as text, as CSV and as a picture."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from html import escape
from itertools import groupby
from typing import Any

from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.terminal import INDENT, clean, table, wrapped
from estimator.questions.breaking import Broken, Change
from estimator.questions.worth import Worth

BARS = 20  # rows of the picture
_ROW, _LEFT, _MIDDLE, _WIDTH = 22, 250, 470, 690
FORMULA_SIGNS = ("=", "+", "-", "@", "\t")


def call_list(found: Sequence[Worth], currency: str) -> str:
    """Return what to ask, first things first, those of one photograph together."""
    if not found:
        return "Nothing to ask: every fact that a rule reads is known for sure.\n"
    lines = ["ASK FIRST: what an answer may do to the price with tax, and what is lost without it"]
    idle = [each for each in found if not (each.spread.minor or each.loss.minor or each.flips)]
    for photo, group in _grouped([each for each in found if each not in idle]):
        lines += ["", f"{INDENT}one photograph: {photo}" if photo else f"{INDENT}ask"]
        for each in group:
            lines += _asked(each, currency)
    if idle:
        lines += ["", *wrapped("as far as is known now these change neither price nor check: "
                               + ", ".join(each.fact for each in idle), INDENT)]
    minutes = sum((each.minutes for each in found), Decimal(0))
    lines += ["", f"{len(found)} questions, about {plain(minutes)} minutes in all. The shares "
              "behind likely price and loss are rough."]
    return clean("\n".join(lines)) + "\n"


def _grouped(found: Sequence[Worth]) -> Iterator[tuple[str, list[Worth]]]:
    for key, group in groupby(found, key=lambda each: each.photo):
        yield key, list(group)


def _asked(each: Worth, currency: str) -> list[str]:
    about = " ".join(part for part in (each.on, each.fact, f"({each.known_as})") if part)
    low, likely, high = (words.money(m.minor, currency) for m in (each.low, each.likely, each.high))
    price = f"{low} whatever the answer" if each.low == each.high else (
        f"{low} to {high}, likely {likely}")
    told = [price]
    if each.loss.minor:
        told.append(f"expected loss {words.money(each.loss.minor, currency)}")
    if each.flips:
        told.append(f"changes a check in {_percent(each.flips)} of answers")
    return [*wrapped(each.asks, f"{INDENT * 2}? "),
            *wrapped("; ".join(told), INDENT * 4), *wrapped(about, INDENT * 4)]


def _points(share: Fraction) -> str:
    return f"{float(share) * 100:.1f} %"


def _percent(share: Fraction) -> str:
    return f"{round(share * 100)} %"


def call_list_csv(found: Sequence[Worth]) -> str:
    """Return the call list as CSV in UTF-8 with room for the answers; amounts in major units."""
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    sheet.writerow(["order", "photograph", "question", "about", "fact", "known as", "lowest price",
                    "likely price", "highest price", "expected loss", "changes a check",
                    "minutes", "answer"])
    for order, each in enumerate(found, start=1):
        sheet.writerow([
            order, _text(each.photo), _text(each.asks), _text(each.on), each.fact, each.known_as,
            *(plain(Decimal(m.minor) / 100)
              for m in (each.low, each.likely, each.high, each.loss)),
            _percent(each.flips), plain(each.minutes), "",
        ])
    return out.getvalue()


def _text(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text


def call_list_json(found: Sequence[Worth]) -> list[dict[str, Any]]:
    """Return the call list as plain data; money in minor units."""
    return [
        {
            "fact": each.fact, "asks": each.asks, "on": each.on, "known_as": each.known_as,
            "low": each.low.minor, "likely": each.likely.minor, "high": each.high.minor,
            "spread": each.spread.minor, "loss": each.loss.minor, "flips": float(each.flips),
            "minutes": float(each.minutes), "photo": each.photo,
            "answers": [{"value": value_words(one.value), "share": float(one.share),
                         "price": one.price.minor, "stops": sorted(one.stops)}
                        for one in each.tried],
        }
        for each in found
    ]


def value_words(value: Any) -> str:
    """Return a value as a person says it."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return plain(value) if isinstance(value, Decimal) else str(value)


def _change_words(each: Change) -> str:
    about = f"{each.on}: " if each.on else ""
    return f"{about}{each.fact} {value_words(each.was)} -> {value_words(each.now)}"


def break_table(broken: Broken, most: int = 40) -> str:
    """Return what breaks the quote, then the dearest of what does not, at most so many."""
    breaking = [each for each in broken.changes if each.breaks]
    lines = [
        f"QUOTED at {words.money(broken.net.minor, broken.net.currency)} before tax with a margin "
        f"of {_points(broken.margin)}; the minimum is {_points(broken.minimum)}",
        f"{len(broken.changes)} changes tried, one fact at a time: {len(breaking)} break the quote",
        "",
    ]
    rows = [
        (_change_words(each), words.money(each.cost_more.minor, broken.net.currency),
         _points(each.margin), _after(each))
        for each in broken.changes[:most]
        if each.breaks or (each.cost_more.minor and each.now is not None)
    ]
    lines += table(rows, "lrrl", ("one fact otherwise", "cost", "margin left", ""))
    return clean("\n".join(lines)) + "\n"


def _after(each: Change) -> str:
    """Say in words what a change does beside the cost."""
    told = [f"BREAKS{': stop ' + ', '.join(each.new_stops) if each.new_stops else ''}"
            ] if each.breaks else []
    return "; ".join([*told, *([] if each.firm else ["no firm price"])])


def break_json(broken: Broken) -> dict[str, Any]:
    """Return every change as plain data; money in minor units."""
    return {
        "net": broken.net.minor, "margin": float(broken.margin),
        "minimum": float(broken.minimum),
        "changes": [
            {"fact": each.fact, "on": each.on, "was": value_words(each.was),
             "now": value_words(each.now), "cost_more": each.cost_more.minor,
             "margin": float(each.margin), "new_stops": list(each.new_stops),
             "firm": each.firm, "breaks": each.breaks}
            for each in broken.changes
        ],
    }


def tornado_svg(broken: Broken) -> str:
    """Return a picture: for each fact the least and the most cost over the quote's, widest first.

    The scale is linear; the line in the middle is the cost as quoted. Bars left of it make the job
    cheaper, bars right of it dearer; a bar that breaks the quote is hatched and says so in words.
    """
    bars = sorted(_ranges(broken.changes), key=lambda bar: (bar[1] - bar[2], bar[0]))[:BARS]
    most = max((max(-low, high) for _, low, high, _ in bars), default=0) or 1
    height = _ROW * (len(bars) + 3)
    scale = Fraction(_WIDTH - _MIDDLE - 10, most)
    quoted = words.money(broken.net.minor, broken.net.currency)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH + 160} {height}" '
        'font-family="sans-serif" font-size="12">',
        '<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="6" height="6" fill="#fff"/>'
        '<line x1="0" y1="0" x2="0" y2="6" stroke="#000" stroke-width="3"/></pattern></defs>',
        '<text x="10" y="16" font-weight="bold">What one fact otherwise does to the cost</text>',
        f'<text x="10" y="33">quoted at {escape(quoted)} before tax</text>',
    ]
    for row, (fact, low, high, breaks) in enumerate(bars):
        y = _ROW * (row + 2)
        left = _MIDDLE + round(low * scale)
        width = max(1, round((high - low) * scale))
        fill = "url(#hatch)" if breaks else "#888"
        shown = words.money(high if high >= -low else low, broken.net.currency)
        parts += [
            f'<text x="{_LEFT - 5}" y="{y + 14}" text-anchor="end">{escape(fact)}</text>',
            f'<rect x="{left}" y="{y + 3}" width="{width}" height="{_ROW - 8}" fill="{fill}" '
            'stroke="#000" stroke-width="0.5"/>',
            f'<text x="{_WIDTH + 5}" y="{y + 14}">{escape(shown)}'
            f'{" breaks it" if breaks else ""}</text>',
        ]
    bottom = _ROW * (len(bars) + 2)
    parts += [f'<line x1="{_MIDDLE}" y1="{_ROW * 2}" x2="{_MIDDLE}" y2="{bottom}" stroke="#000"/>',
              "</svg>"]
    return "\n".join(parts) + "\n"


def _ranges(changes: Iterable[Change]) -> Iterator[tuple[str, int, int, bool]]:
    """Yield each fact with the least and most cost over the quote's, and whether it breaks it."""
    held: dict[str, list[Change]] = {}
    for each in changes:
        if each.now is None:
            continue  # a fact not known leaves lines unpriced: that is no saving
        held.setdefault(each.fact, []).append(each)
    for fact, group in held.items():
        costs = [0, *(each.cost_more.minor for each in group)]
        breaks = any(each.breaks for each in group)
        if min(costs) < max(costs) or breaks:
            yield fact, min(costs), max(costs), breaks
