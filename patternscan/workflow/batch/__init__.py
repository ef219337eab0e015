"""Many photos at once: the list of them, who does the work, what is kept of it, and the table at the end."""
