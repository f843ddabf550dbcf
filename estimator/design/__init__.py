"""From surveyed facts to a design: the kit chosen, the roof laid out, all facts on one sheet.

Pure: frozen values in, frozen values out. An unknown fact gives an unknown result that names it.
"""
