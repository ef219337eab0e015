"""What the trials of a job tell: how the wheel answered to shims, and the next move."""
