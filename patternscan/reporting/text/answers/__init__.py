"""The answer to a pair of flanks: what to do, why, what to look up before it is believed, and the doubts."""
