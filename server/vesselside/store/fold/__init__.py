"""What is made from the log and can be made again."""
