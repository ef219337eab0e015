"""The words of a setting job: its actions, events, readings and patterns."""
