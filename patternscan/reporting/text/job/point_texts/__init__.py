"""What the points of a setting job say, in the order of the work."""
