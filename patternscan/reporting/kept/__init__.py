"""Results that were written to files, read again and held against their digests."""
