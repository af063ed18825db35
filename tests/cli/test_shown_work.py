"""Whoever waits sees what is being done, and a pipe gets none of it."""

import io
import sys

import pytest

from canivet.cli import words
from canivet.doing import doing


class Terminal(io.StringIO):
    def isatty(self):
        return True


class Clock:
    """A timer that is up at once where it is to wait for nothing, and else not before the work is done."""

    def __init__(self, seconds, call):
        self.start = call if seconds == 0 else lambda: None

    def cancel(self):
        pass


@pytest.mark.parametrize(("stream", "late", "told"), [(Terminal, 0, True), (Terminal, 60, False), (io.StringIO, 0, False)])  # fmt: skip
def test_what_is_being_done_is_shown_once_it_takes_long_on_a_terminal_only(monkeypatch, stream, late, told):
    monkeypatch.setattr(sys, "stderr", stream())
    monkeypatch.setattr(words, "_LATE", late)
    monkeypatch.setattr(words.threading, "Timer", Clock)
    monkeypatch.setenv("TERM", "xterm")
    with words.shown_work("heron"):
        doing("laying the ground")
    assert ("heron: laying the ground" in sys.stderr.getvalue()) is told
