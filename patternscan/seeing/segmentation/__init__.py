"""Which part of a rectified flank carries contact, and of which compound."""
