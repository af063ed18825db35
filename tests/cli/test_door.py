"""What nobody foresaw ends in a sentence; no interrupt is lost; a full disk is said."""

import signal
import subprocess
import sys
from pathlib import Path

import pytest

ATTEMPT = """
import sys
sys.argv = ["canivet", *{args!r}]
from canivet.cli import main, draw
def fail(*_, **__):
    {body}
draw._find = fail
main.main()
"""


def attempt(body, *args, cwd):
    program = ATTEMPT.format(body=body, args=[*args, "draw", "scallop", "-o", "x.svg"])
    return subprocess.run(
        [sys.executable, "-c", program], cwd=cwd, capture_output=True, text=True, check=False
    )


def test_what_nobody_foresaw_is_a_sentence_that_asks_for_a_report(tmp_path):
    ended = attempt("1 / 0", cwd=tmp_path)
    assert ended.returncode == 1
    assert "Traceback" not in ended.stderr
    assert "ZeroDivisionError, division by zero" in ended.stderr
    assert "Please report it" in ended.stderr
    assert not list(tmp_path.iterdir())


def test_the_details_are_in_a_file_if_asked_for(tmp_path):
    ended = attempt("1 / 0", "--details", "report.txt", cwd=tmp_path)
    assert "report.txt: what a report needs." in ended.stderr
    told = (tmp_path / "report.txt").read_text()
    assert "ZeroDivisionError" in told
    assert "draw scallop -o x.svg" in told


FINALISER = """class Slow:
        def __del__(self):
            import os, signal
            os.kill(os.getpid(), signal.SIGINT)
            for _ in range(100_000): pass
    Slow()
    import time
    time.sleep(5)
    raise SystemExit(0)"""


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="needs a timer that interrupts")
def test_an_interrupt_that_lands_in_a_finaliser_still_ends_the_run(tmp_path):
    ended = attempt(FINALISER, cwd=tmp_path)
    assert ended.returncode == 1
    assert "Traceback" not in ended.stderr
    assert "Aborted" in ended.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
@pytest.mark.parametrize("args", [["motifs"], ["--version"], ["draw", "--help"]])
def test_a_full_disk_behind_stdout_is_said(args, tmp_path):
    with Path("/dev/full").open("w") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "canivet.cli", *args], stdout=full, stderr=subprocess.PIPE, text=True,
            cwd=tmp_path, check=False,
        )  # fmt: skip
    assert ended.returncode == 1
    assert ended.stderr == (
        "canivet: cannot write what there is to say: the disk is full. Send it elsewhere.\n"
    )


@pytest.mark.parametrize("size", ["A5", "a5", "letter"])
def test_a_sheets_name_is_a_size(run, size):
    assert run("draw", "scallop", "--size", size, "-o", "x.svg").exit_code == 0


def test_a_size_is_quoted_as_it_was_typed(run):
    ended = run("draw", "scallop", "--size", "4x6 inch", "-o", "x.svg")
    assert "--size is '4x6 inch'; the unit 'inch' is not known. Use mm, cm, in or pt." in ended.stderr
