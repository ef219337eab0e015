"""What happened in a job, one line each, in a log that only grows."""
