"""Opinion from plain numbers: comparison of both flanks, advice, change between two states. No third-party library."""
