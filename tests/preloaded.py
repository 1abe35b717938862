"""Imported where processes of the program are forked from: the library that ships is read there once."""

from vesselside import library

library.check()
