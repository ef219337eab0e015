"""The finder net and its training; the whole of it is ``python -m patternscan.training.finder``."""
