"""What can be bought, what is in its box and what it costs.

Values (money, items, offers, box contents) are frozen and know no database; `db` and `tables` are
the rim. Nothing here may import `estimator`.
"""
