"""Sums of the office: duty, losses, units."""
