"""The database itself: its rows, its transactions, its times, and the one guard."""
