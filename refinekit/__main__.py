"""`python -m refinekit` is the refinekit command."""

from refinekit.cli.main import main

main()
