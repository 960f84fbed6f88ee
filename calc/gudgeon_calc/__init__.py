"""Formulas, standards' tables and quantities of the engine builder's trade.

One module a topic. A public formula takes and gives quantities with units (see `units.formula`),
names its source by its key in `docs/knowledge/sources/`, and says where it holds. Nothing here knows
about files of a build, dates or pages.
"""
