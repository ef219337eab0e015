"""What people see. The only writers of files."""
