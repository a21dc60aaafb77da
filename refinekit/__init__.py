"""refinekit: the reckoning around small-shop gold and silver recovery, from the lot to the button and the drum."""

__version__ = "0.1.0"
