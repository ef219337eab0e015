"""Printed tags that tell which end face is which."""
