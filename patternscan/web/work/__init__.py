"""What takes longer than a page may: looking at a photo, judging, keeping; done in a small pool of processes."""
