"""What is read for a screen: the register, a record, a gyle, what needs a manager."""
