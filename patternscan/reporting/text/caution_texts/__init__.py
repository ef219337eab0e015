"""What is uncertain and what to do about it, as a mechanic reads it: a table for each thing that is uncertain."""
