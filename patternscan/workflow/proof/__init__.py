"""What a person's own photographs prove: truth, readings beside it, and what is given away."""
