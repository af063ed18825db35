"""What a docstring says a parameter takes is what its signature takes."""

import inspect
import re

import pytest

from canivet.motifs import catalogue

CATALOGUE = catalogue()


def parameters_in(doc: str) -> dict[str, str]:
    """Return what the Parameters section says of each name, on one line."""
    section = re.search(r"\nParameters\n-+\n(.*?)(?=\n\n[A-Z][a-z]+\n-+\n|\Z)", doc, re.S)
    told: dict[str, str] = {}
    names: list[str] = []
    for line in section[1].split("\n") if section else []:
        head = re.match(r"(\w[\w, ]*) : (.*)", line)
        if head:
            names = [name.strip() for name in head[1].split(",")]
        for name in names:
            told[name] = f"{told.get(name, '')} {head[2] + ';' if head else line.strip()}"
    return told


def numbers_in(text: str) -> list[float]:
    plain = text.replace("−", "-").replace("2³¹", str(2**31))
    return [float(number) for number in re.findall(r"(?<![\w.])-?\d+(?:\.\d+)?", plain)]


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_docstring_names_every_parameter_in_the_order_of_the_signature(name):
    draw = CATALOGUE[name].draw
    told = parameters_in(inspect.getdoc(draw))
    assert list(told) == list(inspect.signature(inspect.unwrap(draw)).parameters)


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_docstring_gives_the_range_and_the_default_of_the_signature(name):
    told = parameters_in(inspect.getdoc(CATALOGUE[name].draw))
    for key, bound in CATALOGUE[name].parameters.items():
        said = told[key]
        if bound.kind in ("flag", "choice"):
            assert bound.default is None or str(bound.default).lower() in said.lower(), (key, said)
            continue
        wanted = [bound.least, bound.most, *([] if bound.default is None else [bound.default])]
        missing = [value for value in wanted if value not in numbers_in(said)]
        assert not missing, f"{key}: {said!r} says nothing of {missing}"
        if bound.unit == "mm":
            assert "mm" in said, key


def test_a_docstring_that_has_drifted_is_seen():
    told = parameters_in(
        "Text.\n\nParameters\n----------\nrim, band : float\n    mm, 3 to 80,\n    default 9.\n\nReturns\n-------\n"
    )
    assert set(told) == {"rim", "band"}
    assert numbers_in(told["band"]) == [3, 80, 9]
    assert numbers_in("−0.5 to 2³¹") == [-0.5, 2**31]
