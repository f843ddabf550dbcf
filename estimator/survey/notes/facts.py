"""The facts of the survey's model: which paths there are, and whether a value fits one."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from catalogue.answers import Asked, misfit
from catalogue.table_reader import extra_of
from estimator.survey.model import Survey
from estimator.survey.notes.claims import Value
from estimator.survey.toml import REPEATED, answer_of, group_model

# Rules name a fact of a repeated group by one of them: "plane.covering".
_GROUPS = {one: many for many, one in REPEATED.items()}


def table_of(group: str) -> str:
    """Return the table of a survey file that a path's group stands in: "plane" -> "planes"."""
    return _GROUPS.get(group, group)


@cache
def asked_at(path: str) -> Asked | None:
    """Return what the fact at a path such as "plane.covering" asks for; None if there is none."""
    group, _, name = path.partition(".")
    table = table_of(group)
    if table not in Survey.model_fields or table == "job":
        return None
    model = group_model(table)
    return answer_of(model, name) if name in model.model_fields else None


def known_path(path: str) -> bool:
    """Return whether the survey has a fact of this path."""
    return asked_at(path) is not None


def question_at(path: str) -> str:
    """Return the model's own question for a fact."""
    group, _, name = path.partition(".")
    model = group_model(table_of(group))
    return str(extra_of(model, name).get("ask", "") or model.model_fields[name].description)


def fitted(path: str, value: Value) -> Value | None:
    """Return the value in the type of the fact, or None if it does not fit it."""
    asked = asked_at(path)
    if asked is None:
        return None
    if isinstance(value, Decimal) and value == value.to_integral_value():
        value = int(value)
    if asked.kind == "number" and isinstance(value, int) and not isinstance(value, bool):
        value = Decimal(value)
    return None if misfit(value, asked) else value
