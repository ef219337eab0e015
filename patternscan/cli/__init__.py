def main() -> None:
    """Stand-in until the commands are written."""
