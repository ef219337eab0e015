"""Finding the outline of a flank in a photo, and pulling a rough one onto the edges."""
