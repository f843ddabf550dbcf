"""Cutting bars to length: which bars to buy, what is cut from each, and what is left.

`model` holds what is asked and what comes out. `cut` finds the cheapest cut and says how far from
the best it can be: `fit` cuts by best fit, `patterns` lists what one bar can give, `linear` solves
the relaxation exactly, `bound` turns it into a proven least cost, `search` looks for a cut at that
cost, and `solver` asks a mixed-integer library where the search gives up. `splits` and `lines`
choose where rails and other lines of several pieces are joined, together with the cut. `room`
says what fits on a bar.

Lengths are whole millimetres. Inside, money is counted in thousandths of a minor unit, so that an
offcut worth so much a metre stays whole. Floats occur in `solver` alone, and what it finds is
counted again in whole numbers.
"""
