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


NUMBER = r"(-?\d+(?:\.\d+)?)"


def plain(text: str) -> str:
    return text.replace("−", "-").replace("2³¹", str(2**31)).replace("°", " °")


def ranges_in(text: str) -> list[tuple[float, float]]:
    """Return each pair as in ``3 to 80`` or, of neighbours, ``2 or 3``."""
    pairs = re.findall(f"{NUMBER}(?: °)? to {NUMBER}", plain(text)) + re.findall(r"\b(\d) or (\d)\b", text)
    return [(float(least), float(most)) for least, most in pairs]


def defaults_in(text: str) -> list[float]:
    return [float(value) for value in re.findall(f"(?i:default) {NUMBER}", plain(text))]


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
            word = rf'(?i:default) [`"]*{str(bound.default).lower()}\b'
            assert bound.default is None or re.search(word, said.lower()), (key, said)
            continue
        assert ranges_in(said) == [(bound.least, bound.most)], (key, said)
        assert defaults_in(said) == ([] if bound.default is None else [bound.default]), (key, said)
        if bound.unit:
            assert bound.unit in said or (bound.unit == "°" and "degrees" in said), (key, said)


def test_a_docstring_that_has_drifted_is_seen():
    told = parameters_in(
        "Text.\n\nParameters\n----------\nrim, band : float\n    mm, 3 to 80,\n    default 9.\n\nReturns\n-------\n"
    )
    assert set(told) == {"rim", "band"}
    assert ranges_in(told["band"]) == [(3, 80)]
    assert defaults_in(told["band"]) == [9]
    assert ranges_in("−0.5 to 2³¹, 20° to 70°") == [(-0.5, 2**31), (20, 70)]
