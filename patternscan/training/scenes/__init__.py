"""Whole scenes with a worm wheel, drawn on the graphics card: every pixel knows which part of which tooth it shows."""
