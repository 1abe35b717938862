"""The registry of calculations; their functions in the wings below, by where the sum is done."""
