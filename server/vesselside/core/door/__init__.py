"""What a person is shown and may do: views, actions, cautions, sums brought to a run."""
