"""What a job asks for now, and why."""
