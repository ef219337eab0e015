"""Lets ``python -m patternscan`` do what the ``patternscan`` command does."""

from patternscan.cli import main

if __name__ == "__main__":
    main()
