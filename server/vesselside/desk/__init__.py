"""The manager's desk: what needs attention, and the running of devices, people and reference data."""
