"""Quantities as text: what a person types, read to plain figures in base units, and never guessed.

`read` takes a weight, a volume, a temperature and so on, `read_strength` a label or hydrometer strength, `read_price` money
for an amount. Each gives low, likely and high, says what it took as given, and answers anything else with one sentence, a
caret under the fault and a right example. Plain units are read from a table of exact factors; Pint is called in for the rest.
"""

from refinekit.units.kinds import KINDS, Kind
from refinekit.units.price import PriceReading, read_price
from refinekit.units.reading import Reading, read
from refinekit.units.strength import FORMS, StrengthReading, read_strength
from refinekit.units.typed import prefixed

__all__ = [
    "FORMS",
    "KINDS",
    "Kind",
    "PriceReading",
    "Reading",
    "StrengthReading",
    "prefixed",
    "read",
    "read_price",
    "read_strength",
]
