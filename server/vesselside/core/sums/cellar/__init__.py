"""Sums of yeast, fermentation, dry hops and carbonation."""
