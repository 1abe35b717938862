"""What many runs make of the plant: vessels, instruments, gyles let go, and what stops a step."""
