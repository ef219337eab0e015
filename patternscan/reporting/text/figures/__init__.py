"""What stands beside pictures and in tables of numbers."""
