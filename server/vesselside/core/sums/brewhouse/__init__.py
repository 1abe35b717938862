"""Sums from liquor and grist to the end of the boil, and the plan of a brew."""
