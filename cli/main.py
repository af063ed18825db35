"""Entry point."""


def main() -> None:
    """Run the command line."""
