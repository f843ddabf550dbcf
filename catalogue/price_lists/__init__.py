"""A supplier's price list read from a file into sound rows and refused ones; nothing is stored.

Values: `listed` is what comes out, `column_map` how the supplier's sheet is laid out.
"""
