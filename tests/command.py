"""What the `refinekit` fixture is: the command as a process."""

import subprocess
from collections.abc import Callable

Run = Callable[..., subprocess.CompletedProcess[str]]
