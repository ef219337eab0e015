"""A reading on its way, its photos, its answer: one thing a screen."""
