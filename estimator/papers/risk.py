"""How far a job's cost may spread: sentences, a picture in text, and plain data."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalogue.money import Money
from estimator.learning.job_risk import JobRisk
from estimator.learning.risk import LEVELS
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.exact_json import rounded
from estimator.papers.terminal import clean, table, wrapped

_BARS, _WIDEST = 12, 44  # rows of the picture, and signs of its longest bar
_ONE_IN = {0.5: "one job in two", 0.8: "one job in five", 0.9: "one job in ten"}
_PLACES = 4
METHOD = ("Mersenne Twister; tasks beta by two gamma draws (Marsaglia and Tsang), job factor "
          "log-normal, risks yes or no, prices and answers evenly between")


def risk_text(told: JobRisk) -> str:
    """Return the spread of a job's cost for the terminal."""
    blocks = (_head(told), _levels(told), _picture(told), _sentences(told), _sources(told),
              _footing(told), [words.DEFERRAL])
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _head(told: JobRisk) -> list[str]:
    which = "as surveyed" if told.revision is None else f"revision {told.revision}"
    title = f": {told.title}" if told.title else ""
    return [*wrapped(f"RISK of job {told.job}, {which}{title}", ""),
            *wrapped(f"{words.OFFICE_ONLY}. Cost as priced {told.cost}, net price {told.net}; "
                     f"{told.found.runs:,} jobs like it simulated, seed {told.found.seed}.", "")]


def _levels(told: JobRisk) -> list[str]:
    found = told.found
    rows = [(f"P{round(share * 100)}", str(found.at_most(share)),
             f"± {_money(found.error(share), told)}") for share in LEVELS]
    return table(rows, "lrr", ("cost", "at most", "sure to"))


def _picture(told: JobRisk) -> list[str]:
    bars = told.found.picture(_BARS)
    most = max(count for _, _, count in bars)
    rows = []
    for at, (low, high, count) in enumerate(bars):
        first, last = at == 0, at == len(bars) - 1
        marks = [name if low <= money.minor < high else f"{name} beyond"
                 for name, money in (("cost as priced", told.cost), ("net price", told.net))
                 if (first or low <= money.minor) and (last or money.minor < high)]
        drawn = "#" * round(_WIDEST * count / most) or ("." if count else "")
        rows.append((f"from {_money(low, told)}", drawn, ", ".join(marks)))
    return table(rows, "rll")


def _sentences(told: JobRisk) -> list[str]:
    found = told.found
    lines = [f"{_ONE_IN[share].capitalize()} like this costs more than {found.at_most(share)}."
             for share in LEVELS if share in _ONE_IN]
    loss, low, high = found.chance_of_loss(told.net)
    lines.append(
        f"At the net price of {told.net} {_share(loss) if loss else 'none'} of such jobs make a "
        f"loss (between {_share(low)} and {_share(high)}, as far as so many runs can tell).")
    lines.append(f"For a chance of loss of {_share(told.chance)} the net price is at least "
                 f"{told.price}.")
    return [line for each in lines for line in wrapped(each, "")]


def _sources(told: JobRisk) -> list[str]:
    parts = told.model.variances
    whole = sum(parts.values())
    rows = [(name, f"± {_money(part**0.5, told)}", _share(part / whole))
            for name, part in parts.items() if part]
    return table(rows, "lrr", ("the spread comes from", "standard deviation", "share"))


def _footing(told: JobRisk) -> list[str]:
    spread = words.rate(told.spread)
    notes = [
        f"A loss is a cost, overhead included, above the net price. Goods are ordered by "
        f"{words.day(told.order_on)}; prices that no offer promises until then move by up to "
        f"{spread} either way, all of one supplier together.",
        "Amounts are raised to a whole penny. Not in them: a further journey that longer hours may "
        "need, and whatever nobody foresaw."]
    notes += [f"NOT IN ANY FIGURE: {each}" for each in told.left_out]
    return [line for each in notes for line in wrapped(each, "")]


def _money(minor: float, told: JobRisk) -> str:
    return str(Money(round(minor), told.cost.currency))


def _share(share: float) -> str:
    if 0 < share < 0.0005:
        return "less than 0.1 %"
    return f"{plain(rounded(share * 100, 1))} %"


def risk_data(told: JobRisk) -> dict[str, Any]:
    """Return the same as plain data: amounts in minor units, shares as numbers."""
    found, model = told.found, told.model
    loss, low, high = found.chance_of_loss(told.net)
    return {
        "job": told.job, "revision": told.revision, "currency": told.cost.currency,
        "cost": told.cost.minor, "net": told.net.minor,
        "seed": found.seed, "runs": found.runs, "method": METHOD,
        "mean": round(found.mean), "sd": round(found.sd),
        "mean_in_closed_form": round(model.mean_minor), "sd_in_closed_form": round(model.sd_minor),
        "levels": [{"share": share, "cost": found.at_most(share).minor,
                    "standard_error": round(found.error(share))} for share in LEVELS],
        "loss": {"chance": round(loss, _PLACES), "low": round(low, _PLACES),
                 "high": round(high, _PLACES)},
        "price_for_chance": {"chance": told.chance, "net": told.price.minor},
        "picture": [{"from": round(first), "to": round(last), "runs": count}
                    for first, last, count in found.picture(_BARS)],
        "spread_from": [{"source": name, "sd": round(part**0.5)}
                        for name, part in model.variances.items()],
        "order_on": told.order_on.isoformat(), "price_spread": _number(told.spread),
        "left_out": list(told.left_out),
    }


def _number(share: Decimal) -> float:
    return round(float(share), _PLACES)

