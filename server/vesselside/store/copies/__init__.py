"""Copies of all that is kept: made while the server serves, and put back."""
