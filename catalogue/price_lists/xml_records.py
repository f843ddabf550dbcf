"""Streams the records of an XML file, such as the lines of a catalogue, one at a time.

Names are told without their namespace, since exchange files come with it, with a prefix and without
it. A document type and entities of its own are refused: nobody needs them in a price list, and they
can make a small file unpack without end or read other files.

Codes of the problems: A107.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.parsers import expat

from catalogue.problems import Place, Problem, ProblemsFound

_CHUNK = 1 << 18
_DEEPEST = 60
_MOST_PARTS = 20_000  # elements of one record
_LONGEST = 100_000  # characters of one element


@dataclass(slots=True)
class Element:
    """One element: its name, attributes and text, what is in it, and the line it begins on."""

    name: str
    given: dict[str, str]
    line: int
    text: str = ""
    parts: list[Element] = field(default_factory=list)

    def all(self, path: str) -> list[Element]:
        """Return the elements under a path such as "Price/BaseQuantity"."""
        found = [self]
        for name in path.split("/"):
            found = [part for each in found for part in each.parts if part.name == name]
        return found

    def first(self, path: str) -> Element | None:
        """Return the first element under a path."""
        return next(iter(self.all(path)), None)

    def says(self, path: str) -> str:
        """Return the text of the first element under a path, or ""."""
        found = self.first(path)
        return found.text.strip() if found else ""


class Records:
    """The records of one file.

    Attributes:
        root: name of the outermost element, once the first record is out; "" before.
    """

    def __init__(
        self, path: Path, names: frozenset[str], shown: str, most_parts: int = _MOST_PARTS
    ) -> None:
        """Take the names of the elements that are records, whatever is round them.

        most_parts: elements that one record may have.
        """
        self.most_parts = most_parts
        self.path, self.names, self.shown = path, names, shown
        self.root = ""
        self.ready: list[Element] = []
        self.open: list[Element] = []
        self.depth = self.count = 0

    def __iter__(self) -> Iterator[Element]:
        """Yield each record as soon as it is closed.

        Raises:
            ProblemsFound: A107 if the file is no sound XML, or declares a document type.
        """
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.StartDoctypeDeclHandler = self._doctype
        parser.buffer_text = True
        self.parser = parser
        try:
            with self.path.open("rb") as file:
                while chunk := file.read(_CHUNK):
                    parser.Parse(chunk, False)
                    yield from self._taken()
            parser.Parse(b"", True)
        except expat.ExpatError as error:
            raise _refused(self.shown, error.lineno,
                           f"this is no sound XML: {expat.ErrorString(error.code)}",
                           "ask the supplier to send the file again") from error
        yield from self._taken()

    def _taken(self) -> list[Element]:
        taken, self.ready = self.ready, []
        return taken

    def _start(self, name: str, given: dict[str, str]) -> None:
        self.depth += 1
        local = name.rsplit(" ", 1)[-1]
        self.root = self.root or local
        if not self.open and local not in self.names:
            return
        self.count = self.count + 1 if self.open else 1
        if self.depth > _DEEPEST or self.count > self.most_parts:
            raise _refused(self.shown, self.parser.CurrentLineNumber, "a line of this catalogue "
                           "has more in it than any catalogue needs", "ask the supplier about it")
        element = Element(local, {key.rsplit(" ", 1)[-1]: value for key, value in given.items()},
                          self.parser.CurrentLineNumber)
        if self.open:
            self.open[-1].parts.append(element)
        self.open.append(element)

    def _end(self, _: str) -> None:
        self.depth -= 1
        if self.open:
            element = self.open.pop()
            if not self.open:
                self.ready.append(element)

    def _text(self, text: str) -> None:
        if self.open and len(self.open[-1].text) < _LONGEST:
            self.open[-1].text += text

    def _doctype(self, *_: Any) -> None:
        raise _refused(
            self.shown, self.parser.CurrentLineNumber, "the file declares a document type",
            "delete the part that begins with <!DOCTYPE, or ask the supplier for a file without it")


def _refused(shown: str, line: int, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem("A107", Place(shown, line), says, mend)])
