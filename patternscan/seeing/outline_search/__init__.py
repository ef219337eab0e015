"""Finding the outline of a flank in a photo, and snapping a rough one onto the edges."""
