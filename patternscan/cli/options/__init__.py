"""What may be typed after a command, as typed records."""
