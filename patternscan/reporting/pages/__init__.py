"""Pages that open on a phone and print on paper."""
