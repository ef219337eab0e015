"""Readings as they are being made, each in a folder of its own: what is acknowledged lies on the disk."""
