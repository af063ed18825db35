"""The names of `canivet.export`: fetched when asked for, and nothing heavy before."""

import subprocess
import sys

import pytest

from canivet import export

HEAVY = ("shapely", "numpy", "scipy", "cairosvg", "cairocffi", "PIL", "pypdf", "pikepdf", "pydantic")


def test_importing_the_package_loads_nothing_heavy():
    code = f"import canivet.export, sys; print([m for m in {HEAVY} if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_every_public_name_is_there():
    assert sorted(export._HOMES) == sorted(export.__all__)
    for name in export.__all__:
        assert getattr(export, name) is not None, name
        assert name in dir(export)


def test_a_name_that_is_not_there_is_refused():
    with pytest.raises(AttributeError, match="no attribute 'write_engraving'"):
        _ = export.write_engraving
