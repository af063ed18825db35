"""Property tests draw the same examples every time, unless they are asked for new ones."""

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("anew", print_blob=True)
settings.load_profile(os.environ.get("CANIVET_EXAMPLES", "same"))
