"""Property tests draw the same examples every time, and large crosses the same sample, unless asked for new ones."""

import os
import secrets
import signal

from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("anew", print_blob=True)
settings.load_profile(os.environ.get("CANIVET_EXAMPLES", "same"))

if os.environ.get("CANIVET_EXAMPLES") == "anew":
    os.environ.setdefault("CANIVET_SAMPLE", str(secrets.randbelow(2**31)))

# Begun in the background a run ignores interrupts, and what it starts would not hear them either.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_report_header() -> str:
    return f"sample of the large crosses: CANIVET_SAMPLE={os.environ.get('CANIVET_SAMPLE', '0')}"
