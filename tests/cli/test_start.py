"""The set-up script, with the cairo library hidden behind stand-ins for python and the package manager."""

import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

PYTHON = """#!/bin/sh
# has cairo only once the package manager has brought it
test -e "$BROUGHT"
"""
MANAGER = """#!/bin/sh
echo "$0 $*" >> "$LOG"
case "$*" in *install*) : > "$BROUGHT";; esac
"""


@pytest.fixture
def bare(tmp_path):
    """A machine with sh's own tools, a python without cairo, and the commands asked for."""

    def machine(*, user, commands=("apt-get",)):
        tools, venv = tmp_path / "tools", tmp_path / "venv/bin"
        for folder in (tools, venv):
            folder.mkdir(parents=True)
        for name in ("dirname", "env", "sh"):
            (tools / name).symlink_to(
                next(p for p in (Path("/usr/bin", name), Path("/bin", name)) if p.exists())
            )
        scripts = {tools / name: MANAGER for name in commands}
        scripts |= {venv / "python": PYTHON, tools / "id": f"#!/bin/sh\necho {user}\n"}
        for path, text in scripts.items():
            path.write_text(text)
            path.chmod(0o755)
        env = {
            "PATH": str(tools),
            "CANIVET_VENV": str(tmp_path / "venv"),
            "BROUGHT": str(tmp_path / "brought"),
            "LOG": str(tmp_path / "log"),
        }
        return subprocess.run(
            ["/bin/sh", str(ROOT / "start.sh"), "library"],
            env=env,
            capture_output=True,
            text=True,
            check=False,
        ), tmp_path / "log"

    return machine


def test_root_gets_the_library_installed(bare):
    done, log = bare(user=0)
    assert done.returncode == 0, done.stderr
    assert "install -y libcairo2" in log.read_text()


@pytest.mark.parametrize(
    ("manager", "line"),
    [
        ("apt-get", "sudo apt-get install -y libcairo2"),
        ("dnf", "sudo dnf install -y cairo"),
        ("apk", "sudo apk add cairo"),
    ],
)
def test_anyone_else_is_told_the_one_line_to_type(bare, manager, line):
    done, log = bare(user=1000, commands=(manager,))
    assert done.returncode == 1
    assert done.stderr.rstrip().endswith(f"the cairo graphics library is missing. Type: {line}")
    assert not log.exists()


def test_without_a_known_package_manager_it_says_so(bare):
    done, _ = bare(user=0, commands=())
    assert done.returncode == 1
    assert "no package manager that this script knows" in done.stderr


def test_the_words_that_start_it_are_the_readmes(tmp_path):
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    script = (ROOT / "start.sh").read_text(encoding="utf-8")
    for word in ("plate", "tests"):
        assert f"sh start.sh {word}" in readme
        assert f"\n{word})" in script
    assert "sh start.sh tests" in (ROOT / ".ci/run").read_text(encoding="utf-8")
    done = subprocess.run(
        ["/bin/sh", str(ROOT / "start.sh"), "plaet"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=dict(os.environ),
        check=False,
    )
    assert done.returncode == 2
    assert "sh start.sh plate" in done.stderr
