from pathlib import Path

import pytest
from click.testing import CliRunner

from canivet.cli.main import cli


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Call canivet in an empty folder, as its user would; nothing but its own errors may come out."""
    monkeypatch.chdir(tmp_path)

    def call(*args):
        result = CliRunner().invoke(cli, [str(a) for a in args])
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert "Traceback" not in result.output
        return result

    return call


@pytest.fixture
def here(tmp_path):
    def put(name, text):
        path = Path(tmp_path, name)
        path.write_text(text, encoding="utf-8")
        return path

    return put
