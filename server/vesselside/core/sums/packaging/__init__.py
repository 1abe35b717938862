"""Sums of the canning line: seams, fills, quantity, oxygen, dates."""
