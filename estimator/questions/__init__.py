"""What an unanswered question costs, and which is to be asked first.

Every figure here is the difference of two whole estimates; nothing is priced a second way.
"""
