"""x"""


def limits() -> None:
    """x"""
