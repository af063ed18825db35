"""``python -m canivet.cli``: the same as ``canivet``."""

from .main import main

main()
