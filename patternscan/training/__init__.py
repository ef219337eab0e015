"""Workshop of the project: drawn flanks whose truth is known, and the training of the nets. Not in the wheel."""
