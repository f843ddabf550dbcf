"""What a finished job or one in progress came to, held against what was reckoned.

`plan` is what was reckoned, line by line. `parting` parts the difference of a cost from its
standard into causes that add up to it, `progress` says how a job in progress stands, and `few_jobs`
what may be said of few jobs. All are plain functions of what the caller gathered: the standard is
flexed beforehand, which means norms and rules run again with the variations agreed.

Pure: no database, file, clock or random number. What was used is read from the ledger of stock and
the time sheets by `estimator.workflow`.
"""
