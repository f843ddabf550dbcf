"""A supplier's price list, read from a file into sound rows and refused ones.

Values: `listed` is what comes out, `column_map` how the supplier's sheet is laid out, `faults` what
is wrong with a cell. `guessing` proposes a map from a header; a person looks at it.
Cells: `numbers`, `prices`, `quantities`, `dates` and `texts` read one cell each, exactly or not at
all; `terms` reads the cells that many rows share.
Flow of a table: file -> `workbook` (with `xlsx_parts` or `ods_parts` for what the content of cells
does not show) or `text_file` -> `table` -> `header` -> `rows` (with `common_rows` for most of them,
and `kinds` for those without a price) -> `doubles` -> `listed`. Flow of an exchange file:
`xml_records` -> `ubl` or `bmecat` (with `exchange_fields`) -> `exchange` -> `listed`. `reading`
finds out which it is. `sheet_rows` is what all tables share; `field_rows` reads tables of other
fields, such as timesheets and bills, with the same care.

Nothing of what is read is guessed back, rounded or left out without a word.
"""
