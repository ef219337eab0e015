"""The machine sheet: what is known of a machine before a job begins."""
