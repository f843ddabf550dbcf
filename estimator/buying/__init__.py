"""Buying: from what a job needs to what is ordered, in whole packs, drums, bars and baskets.

`charging` says what is bought for a line of the bill and what the job pays. It asks `packs` for the
cheapest mix of whole packs, or `drums` (with `run_search`) where runs may not be joined; both
return a `purchase`. `cutting` cuts bars, `basket` shares lines out over suppliers, `ordering` makes
purchase orders of a basket, `receiving` reckons what comes of them, `swaps` judges what may stand
in for an item.

Pure and exact: it knows items, offers and money, and nothing of surveys, rules or bills.
"""
