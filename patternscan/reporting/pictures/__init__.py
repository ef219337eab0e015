"""Pictures of flanks, pairs and changes."""
