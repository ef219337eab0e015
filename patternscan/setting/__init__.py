"""The job around the photos: the machine sheet."""
