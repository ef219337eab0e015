"""Prints lifted on clear tape or pressed onto paper: a film on a flat white card."""
