"""What a batch file may tell of what the shop can carry."""

from refinekit.bench.fields import Field

LIMIT_FIELDS = (
    Field("vessel", "volume", "L", "largest beaker or bucket there is", above_zero=True),
    Field("days", "time", "d", "longest the air may run for one lot", above_zero=True),
    Field("drum", "volume", "L", "room left in the waste drum", above_zero=True),
    Field("month", "mass", "kg", "hazardous waste a month may make", above_zero=True),
    Field("month-so-far", "mass", "kg", "hazardous waste it has made already"),
    Field("hood", "flow", "m3/min", "what the hood draws: opening times speed", above_zero=True),
)
"""What [limits] of a batch file may tell."""
