"""The command line. Exit 0: done; 1: something was found wrong; 2: wrong usage or environment."""

from vesselside.cli import copying, people, record, running
from vesselside.cli.ground import main

__all__ = ["copying", "main", "people", "record", "running"]
