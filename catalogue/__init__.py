"""What can be bought, what is in its box and what it costs.

Values, frozen and without a database: `money`, `items` with a typed data sheet per family in
`specs`, and `price_book`, everything in force on one day. `problems` holds a user's mistake as
data, with its place.
Files in: `toml_source` (with `toml_lines`) reads TOML and remembers lines; `validation`, `answers`
and `table_reader` turn what does not fit into plain words. Sheets: `columns` says what each column
asks for, `cells` and `rows` read them, `csv_sheets` and `workbook_sheets` are the two kinds of
file, `item_file` is one item as TOML, `forms` a workbook to fill in.
`price_lists/` reads the price list of a supplier.
Flow of an import: file -> raw sheets -> `listing` (values and problems) -> `references` (does each
row name things that exist) -> `recording` (what differs, written in one transaction); `exchange`
and `starter` run it. Out again: tables -> `loading` -> a frozen price book; `incoming` says what
is on order and has not come.
The rim: `tables`, `address` (where the database is), `db` (the door to it), `schema` (runs the
migrations of alembic/).
`starter/` holds the generic catalogue as data.

No job, rule, hour or price of a job belongs here, and nothing here imports `estimator`.
"""
