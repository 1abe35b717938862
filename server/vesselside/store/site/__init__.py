"""What a brewery sets up: people, devices, procedures, recipes, instruments, vessels."""
