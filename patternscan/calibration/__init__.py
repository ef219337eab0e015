"""The calibrated numbers: limits, spreads and weights that were chosen and do not follow from a definition.

Each stands beside its unit and its origin, in the module of its floor. What follows from definitions, physics and
standards, and the sizes of grids and pictures, stand where they are used. ``pytest -m study tests/study`` changes each
number by a third, and some figure must move.
"""
