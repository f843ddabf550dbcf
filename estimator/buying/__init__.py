"""Buying: from what a job needs to what is ordered, in whole packs, drums, bars and baskets.

Pure and exact: it knows items, offers and money, and nothing of surveys, rules or bills.
"""
