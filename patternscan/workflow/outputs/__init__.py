"""What a result is handed over as: its JSON document, its report, and the contents of its files by their names."""
