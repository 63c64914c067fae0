"""Lengths, numbers, dates and money: read from what people write, shown in the measure they read.

:mod:`~kerfsmith.units.parse` reads, :mod:`~kerfsmith.units.show` writes, :mod:`~kerfsmith.units.length`
holds the units and :mod:`~kerfsmith.units.money` the amounts.
"""
