"""The log and its one writer: from the bytes of a push to a place in the log."""
