"""What comes to a person by itself: `due` finds it, `subscriptions` says who takes it, `deliveries` who was told."""
