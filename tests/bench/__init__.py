"""Measurements, printed and never asserted: no test waits on a clock."""
