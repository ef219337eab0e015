"""Results as JSON documents, and back."""
