"""``canivet make --watch``: drawn again at every save, and never ended by a slip."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from canivet.cli.running.watch import watch_design, woken
from canivet.errors import BadValue

PLAIN = 'title = "Pond"\nsize = "60x90 mm"\nborder = {motif = "bead-and-bar", band = "9 mm"}\n'


@pytest.fixture
def design(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "pond.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return path


def test_it_is_drawn_once_for_every_save_and_not_for_other_files(design):
    drawn = []

    def changes(files):
        assert files == (design,)
        Path("other.txt").write_text("x", encoding="utf-8")
        yield "woken for nothing"
        if len(drawn) < 3:
            design.write_text(f"{PLAIN}# {len(drawn)}\n", encoding="utf-8")
            yield "saved"

    watch_design(design, lambda: drawn.append(design.read_text("utf-8")), changes=changes)
    assert drawn == [PLAIN, f"{PLAIN}# 1\n", f"{PLAIN}# 2\n"]


def test_a_save_while_it_is_drawn_is_not_lost(design):
    drawn = []

    def draw():
        if not drawn:
            design.write_text(PLAIN + "# meanwhile\n", encoding="utf-8")
        drawn.append(1)

    watch_design(design, draw, changes=lambda _: iter(()))
    assert len(drawn) == 2


@pytest.mark.parametrize("fault", [BadValue("strap is 0 mm; it takes more."), SystemExit(3)])
def test_a_slip_is_told_and_watched_on(design, capsys, fault):
    seen = []

    def changes(_):
        seen.append(1)
        if len(seen) == 1:
            design.write_text("title = ", encoding="utf-8")
            yield "saved"

    def draw():
        raise fault

    watch_design(design, draw, changes=changes)
    said = capsys.readouterr().err
    assert len(seen) == 2
    assert said.count("watching pond.toml") == 2
    assert said.count("strap is 0 mm") == (2 if isinstance(fault, BadValue) else 0)


def test_files_that_the_design_names_are_watched_too(design, capsys):
    named = design.with_name("heron.svg")
    design.write_text(PLAIN + '[[silhouette]]\nfile = "heron.svg"\n', encoding="utf-8")
    watched = []
    watch_design(design, lambda: None, changes=lambda files: watched.append(set(files)) or iter(()))
    assert watched == [{design, named}]
    assert "and 1 more file" in capsys.readouterr().err


def test_a_file_put_in_a_files_place_wakes_it(design):
    waking = woken([design])
    next(waking)  # the watch is set once it is asked; this returns at the latest after a few seconds
    new = design.with_name("pond.toml.new")
    new.write_text(PLAIN + "# new\n", encoding="utf-8")
    new.replace(design)
    changes = next(waking)
    assert {Path(path).name for _, path in changes} <= {"pond.toml"}
    waking.close()


def test_a_design_that_is_not_there_is_refused_and_not_watched(run):
    refused = run("make", "none.toml", "--watch")
    assert refused.exit_code == 1
    assert "none.toml" in refused.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts of another process are POSIX")
def test_the_command_draws_again_and_ends_at_an_interrupt(design):
    log = Path("said.txt")
    with log.open("w", encoding="utf-8") as said:
        process = subprocess.Popen(
            [sys.executable, "-m", "canivet.cli", "make", "pond.toml", "--watch"], stdout=said, stderr=said
        )
    try:
        _wait_for(log, "watching", 1)
        design.write_text(PLAIN.replace("9 mm", "11 mm"), encoding="utf-8")
        _wait_for(log, "watching", 2)
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
    finally:
        process.kill()
        process.wait()
    told = log.read_text("utf-8")
    assert told.index("a quick picture") < told.index("pond.svg")
    assert told.rstrip().endswith("no longer watching.")
    assert Path("pond.pdf").exists()


def _wait_for(log, word, times):
    """Wait until a word was said so many times; a minute is given up after, on however slow a machine."""
    end = time.monotonic() + 60
    while log.read_text("utf-8").count(word) < times:
        assert time.monotonic() < end, log.read_text("utf-8")
        time.sleep(0.05)
