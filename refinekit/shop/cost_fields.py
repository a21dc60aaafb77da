"""What a batch file may tell of money beside the shelf's prices."""

from refinekit.bench.fields import Field

COST_FIELDS = (
    Field("electricity", "price", "", "what a kilowatt-hour costs, e.g. 0.30 /kWh"),
    Field("pump", "power", "W", "what the air pump draws"),
    Field("energy", "energy", "kWh", "hot plate, furnace and fan, all together"),
    Field("labour", "price", "", "what an hour of work costs, e.g. 20 /h"),
    Field("hours", "time", "h", "hours of work"),
    Field("filters", "money", "", "filters, gloves, crucibles of a run, in money"),
    Field("waste", "price", "", "hauling, by the kilogram of cake or the litre of the drum, e.g. 3.50 /kg"),
    Field("paid", "share", "", "share of the gold that is paid for", highest=1.0, above_zero=True),
    Field("margin", "share", "", "share of what the gold brings that is to be left over", highest=1.0),
    Field("lot", "money", "", "what the lot costs, in money"),
)
"""What [costs] of a batch file may tell."""
