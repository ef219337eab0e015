"""What is shown and what is sent in, one thing a screen."""
