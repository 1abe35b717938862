"""Each calculation against something outside the project: a reference library, a published table, a law."""
