"""`python -m vesselside` is the command line."""

from .cli import main

main()
