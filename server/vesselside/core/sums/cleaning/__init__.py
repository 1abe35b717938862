"""Sums of a clean: charge, heat, gas, strength, contact, rinse, effluent."""
