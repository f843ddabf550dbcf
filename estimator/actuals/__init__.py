"""What came back from jobs in hours and bills: read, judged and costed, before it is booked.

Hours: `durations` reads a cell, `timesheet` a row of a timesheet, `time_checks` holds the rows
against each other, against the jobs, norms and what is booked already; `time_money` costs them.
Bills: `bill_rows` reads those of a table, `bill_ubl` those of a UBL 2.1 Invoice or CreditNote,
both into the values of `bills`; `matching` says what of a charge is a cost beside what the ledger
of stock holds. The tables are filled by `estimator.workflow`.

No database, file or clock belongs here, apart from the file that is read: the day is handed in.
"""
