"""Reports in Markdown, one module for each."""
