"""refinekit: the reckoning around small-shop gold and silver recovery, from the lot to the button and the drum."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the matrices here are small: threads only wait for each other

__version__ = "0.1.0"
