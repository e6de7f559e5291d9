"""``python -m tabtools`` is the command line."""

from tabtools.cli import main

main(prog_name="tabtools")
