"""A firm's year, invented from a seed: quotes, jobs, what they took, with what is planted in it.

    houses.toml ─> surveys ─> pool: each quoted once, at the prices of four days
                                │
    truths.toml, names.toml ────┴─> year of plain records ─> rows of the firm's database

- `houses`, `names`, `truths`: what is invented, as data beside the code.
- `pool`: estimates by the one way there is to estimate a job, at the prices of each period.
- `records`, `calendar`, `asking`, `working`, `buying`, `year`: a year from a seed, pure: no clock,
  no database.
- `prices`, `goods`, `jobs`, `writing`: the year as rows; stock through the ledger's own rules.

No firm, person or place in it is real. It is not part of the installed program.
"""
