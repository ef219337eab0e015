"""What shims, dial readings and eccentric carriers come to."""
