"""Photos of blued worm-wheel teeth in, the direction to move the wheel out."""

__version__ = "0.1.0"
