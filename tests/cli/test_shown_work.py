"""Whoever waits sees what is being done, and a pipe gets none of it."""

import io
import sys

import pytest

from canivet.cli import words
from canivet.doing import doing


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.mark.parametrize(("stream", "late", "told"), [(Terminal, 0, True), (Terminal, 60, False), (io.StringIO, 0, False)])  # fmt: skip
def test_what_is_being_done_is_shown_once_it_takes_long_on_a_terminal_only(monkeypatch, stream, late, told):
    monkeypatch.setattr(sys, "stderr", stream())
    monkeypatch.setattr(words, "_LATE", late)
    monkeypatch.setenv("TERM", "xterm")
    with words.shown_work("heron"):
        import time

        doing("laying the ground")
        time.sleep(0.3)
    assert ("heron: laying the ground" in sys.stderr.getvalue()) is told
