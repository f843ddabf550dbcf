"""What the firm holds: where it lies, what it is worth, what must be bought when.

Data flow: moves -> what lies where; that + what is reserved and comes -> who gets what, what is
free; moves -> what each issue costs and what is held is worth; needs by date + what lies and comes
-> what to order, and when at the latest. The ledger of moves is the one record; all else is derived
from it. Pure: no database, no clock.
"""
