"""The words of the pages that a phone shows."""
