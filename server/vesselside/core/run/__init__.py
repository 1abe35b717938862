"""One run: from its records to its state, step by step and field by field."""
