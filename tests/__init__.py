"""The tests, by the part of the house they watch."""
