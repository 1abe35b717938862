"""Photos, as files beside the database."""
