"""docs/problems.md: every problem code, where it is told, in which words, and the remedy."""

from __future__ import annotations

from collections.abc import Iterator

from tools.markdown import code, page, table
from tools.problem_codes import Told, named_codes, told

# What the first letter of a code stands for; a new letter must be given its words here.
SUBJECTS = {
    "A": "tables that come in (A0: how one is laid out, A1: reading one, A2: taking over prices)",
    "B": "the bill",
    "C": "a firm's settings",
    "D": "the database",
    "E": "buying (E1: packs and cuts, E2: baskets, E3: substitutes)",
    "F": "files and folders",
    "G": "free-text survey notes and the vocabulary that reads them",
    "H": "what becomes of quotes (H1: states of jobs and drift, H2: differences of revisions)",
    "J": "quoted jobs",
    "K": "the items a survey wishes for",
    "L": "catalogue files",
    "M": "a discount",
    "N": "labour norms",
    "P": "practice values",
    "Q": "plausible answers to questions",
    "R": "rules (R0: the tables, R1: a formula, R2: a formula with the facts of a job)",
    "S": "a survey",
    "T": "TOML files of every kind",
    "U": "the command line",
    "V": "a stop that is let pass",
    "W": "the answers of `why`",
    "X": "a survey form",
    "Y": "the stock (Y1: places, moves and reservations, Y2: sheets that come back, Y3: orders)",
    "Z": "finished jobs (Z1: days and variations, Z2: hours, bills and payments, Z3: close-out, "
         "Z4: review, Z5: risk and learning)",
}
HEADS = ("Code", "Told in", "Words", "Remedy")


def problems_page() -> str:
    """Return the page."""
    letters: dict[str, list[Told]] = {}
    for each in told():
        letters.setdefault(each.code[0], []).append(each)
    sections = [
        f"## {letter}: {SUBJECTS.get(letter, 'not said yet')}\n\n{table(HEADS, map(_row, found))}"
        for letter, found in sorted(letters.items())]
    return page(
        "Problems",
        "A user's mistake is told as `FILE:LINE:COLUMN: error CODE: words`, and below it the "
        "remedy; all mistakes of an input at once. Nothing is changed or written then, save that "
        "`estimator catalogue import --skip-refused` writes the good rows. `…` stands for what is "
        "filled in; ` / ` parts words of which one is told.", sections)


def _row(each: Told) -> tuple[str, ...]:
    return each.code, code(each.file), each.says, each.mend


def codes_without_row() -> Iterator[str]:
    """Yield a sentence for every code the source names that nothing is found to tell."""
    rows = {each.code for each in told()}
    for name, file in sorted(named_codes().items()):
        if name not in rows:
            yield f"{file} names the code {name}, and no row of docs/problems.md has it"
    for letter in sorted({name[0] for name in rows} - set(SUBJECTS)):
        yield f"tools/problems_page.py has no words for codes that begin with {letter}"
