"""The commands of a setting job, one module each."""
