"""What everything stands on: numbers, times, days, errors, solving. It knows nothing of brewing."""
