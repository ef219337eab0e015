"""Two states of one machine: whether they may be compared, and what changed."""
