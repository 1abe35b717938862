"""Brewery procedures at the vessel: a Flask server, an offline phone, and the one core both run."""

__version__ = "1.0.0"
