"""Things that are there already, as drawings name them: a letter, and its words in the notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.papers.contract_walls import ObstacleJson
from estimator.papers.drawings.dimensions import View
from estimator.papers.drawings.lettering import Anchor
from estimator.papers.drawings.page import Page

LETTERS = 26
SIZE = 2.4
ON_IT = (5.0, 4.0)  # least size on paper of a thing that carries its letter


def lettered(things: Sequence[ObstacleJson]) -> Iterator[tuple[str, ObstacleJson]]:
    """Yield each thing with its letter: A to Z, then A1 and so on."""
    for at, thing in enumerate(things):
        round_, letter = divmod(at, LETTERS)
        yield chr(ord("A") + letter) + (str(round_) if round_ else ""), thing


def name_thing(page: Page, view: View, letter: str, thing: ObstacleJson) -> None:
    """Write the letter on the thing, or beside it where it is too small for that.

    Where other words stand all round it the letter is left out: its place stands in the notes.
    """
    wide, high = thing.width_mm / view.scale, thing.height_mm / view.scale
    x, y = view.x(thing.x_mm), view.y(thing.y_mm + thing.height_mm / 2) + 0.9
    ways: list[tuple[float, float, Anchor]] = [
        (x + wide + 0.8, y, "start"), (x - 0.8, y, "end"),
        (x + wide / 2, y + high / 2 + 2.4, "middle"), (x + wide / 2, y - high / 2 - 2.2, "middle")]
    if wide >= ON_IT[0] and high >= ON_IT[1]:
        ways.insert(0, (x + wide / 2, y, "middle"))
    for left, base, anchor in ways:
        if page.is_free(left, base, letter, SIZE, anchor):
            page.words(left, base, letter, SIZE, anchor, bold=True, clear=True)
            return
