"""Numbers with their intervals, from masks."""
