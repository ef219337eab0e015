"""A whole setting job on paper."""
