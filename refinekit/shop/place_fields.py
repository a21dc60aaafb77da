"""What may be told of the shop, by option or in a batch file."""

from refinekit.bench.fields import Field
from refinekit.bench.place import LAWS

PLACE_FIELDS = (
    Field("temperature", "temperature", "degC", "air temperature", above_zero=True),
    Field("altitude", "length", "m", "height above the sea, for gas litres", lowest=None),
    Field("pressure", "pressure", "hPa", "air pressure, instead of the altitude", above_zero=True),
    Field("room", "volume", "m3", "volume of the room", above_zero=True),
    Field("fan", "flow", "m3/min", "what the room's fan draws out"),
    Field("mixing", "count", "", "how much worse the air near the pot is than the room's", above_zero=True),
    Field("hood", "flag", "", "a working hood, sash down"),
    Field("outdoors", "flag", "", "in the open air"),
    Field("law", "choice", "", "whose exposure limits are shown", choices=LAWS),
)
