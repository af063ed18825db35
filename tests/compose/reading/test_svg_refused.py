"""Drawings that cannot be read are refused in a sentence, whatever is in the file."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from svg_specimens import SPECIMENS, WARNED, XMLNS, paper, read_area, svg

from canivet.compose.reading.silhouette import read_silhouette
from canivet.compose.reading.svg import read_svg
from canivet.errors import BadValue, CanivetError, MissingLibrary, Unreadable


def chained_uses(doublings: int) -> str:
    made = '<path id="u0" d="M0 0H9V9z"/>'
    for n in range(doublings):
        made += f'<g id="u{n + 1}"><use href="#u{n}"/><use href="#u{n}"/></g>'
    return f'<defs>{made}</defs><use href="#u{doublings}"/>'


BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + f"]><svg {XMLNS}><text>&i;</text></svg>"
).encode()
OUTSIDE = (
    f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg {XMLNS}><text>&x;</text></svg>'.encode()
)

REFUSED = {
    "not XML": (b"<svg", "is not well-formed XML"),
    "broken half way": (b"<svg><g></svg>", "is not well-formed XML: mismatched tag at line 1"),
    "wrong root": (b"<html><body/></html>", "its root element is <html> where SVG's own <svg> is expected"),
    "foreign root": (b'<svg xmlns="urn:other"/>', "root element is <svg> in the namespace 'urn:other'"),
    "invalid UTF-8": (b'<svg width="9" height="9"><title>\xff\xfe</title></svg>', "is not well-formed XML"),
    "unknown encoding": (b'<?xml version="1.0" encoding="klingon"?><svg/>', "unknown encoding|not read"),
    "entity bomb": (BOMB, "declares XML entities"),
    "outside entity": (OUTSIDE, "declares XML entities"),
    "nested without end": (b"<svg>" + b"<g>" * 100_000 + b"</g>" * 100_000 + b"</svg>", "more than 100 deep"),
    "too many elements": (b"<svg>" + b"<g/>" * 100_001 + b"</svg>", "more than 100000 elements"),
    "ten million copies": (svg(chained_uses(24)), "would draw 67108863 elements; at most 10000"),
    "copies past counting": (svg(chained_uses(90)), r"would draw more than 10\^9 elements"),
    "itself within itself": (svg('<g id="a"><rect width="9" height="9"/><use href="#a"/></g>'), "refers to itself"),
    "a chain of copies": (
        svg("<defs>" + "".join(f'<use id="c{n}" href="#c{n + 1}"/>' for n in range(400)) + "</defs>"
            '<use href="#c0"/>'), "refers to itself: .* nested more than 200 deep"),
    "another file": (svg('<use href="other.svg#a"/>'), "refers to another file, 'other.svg#a'"),
    "a file on the net": (svg('<use xlink:href="http://example.invalid/a.svg#b"/>'), "refers to another file"),
    "imported style": (svg('<style>@import url("http://example.invalid/a.css");</style><rect width="9" height="9"/>'),
                       "imports a style sheet from another file"),
    "width of zero": (svg('<rect width="9" height="9"/>', 'width="0" height="10"'), "states no size .*width is 0"),
    "viewBox of zero": (svg('<rect width="9" height="9"/>', 'viewBox="0 0 0 0"'), "states no size"),
    "no size at all": (svg('<rect width="9" height="9"/>', ""), "Give it a width and a height, or a viewBox"),
    "negative size": (svg('<rect width="9" height="9"/>', 'width="-5" height="5"'), "states no size"),
    "infinite size": (svg('<rect width="9" height="9"/>', 'width="1e999" height="5"'), "states no size"),
    "nothing drawn": (svg(""), "draws nothing"),
    "all unfilled": (svg('<rect width="9" height="9" fill="none"/>'), "draws nothing"),
    "nothing dark": (svg('<rect width="9" height="9" fill="#fff"/>'), "holds nothing dark"),
    "dark and covered": (svg('<rect width="9" height="9"/><rect width="99" height="99" fill="white"/>'),
                         "holds nothing dark"),
    "a huge number": (svg('<path d="M0 0H1e30V9z"/>'), "far outside the page"),
    "an infinite number": (svg('<path d="M0 0L1e999 9L9 9z"/>'), "far outside the page"),
    "no number": (svg('<polygon points="0,0 nan,9 9,9"/>'), "draws nothing"),  # SVG 2, 9.5.4: up to the error
    "a number that is none": (svg('<rect width="9" height="9" transform="rotate(x y z w)" stroke-miterlimit="q"/>'),
                              "cannot be drawn"),
    "endless dashes": (svg('<path d="M0 5H99" stroke="black" stroke-dasharray="1e-7"/>'), "dashes are too many"),
    "a stroke without end": (svg('<path d="M0 5H99" stroke="black" stroke-width="1e12"/>'), "far wider than the page"),
    "a knot": (svg('<path d="M0 0' + "".join(f"L{n * 37 % 101} {n * 53 % 97}" for n in range(6000)) + 'z"/>'),
               "its lines cross each other too often"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_drawing_that_cannot_be_read_is_refused_in_its_own_words(name):
    source, words = REFUSED[name]
    with pytest.raises(Unreadable, match=words) as caught:
        read_svg(source, name="picture.svg")
    assert caught.value.message.startswith("picture.svg ")
    assert caught.value.parameter == "picture.svg"
    assert len(caught.value.message) < 400


def test_the_number_of_shapes_drawn_is_bounded_on_both_sides():
    squares = "".join(f'<use href="#s" x="{n % 100}" y="{n // 100}"/>' for n in range(500))
    body = f'<defs><path id="s" d="M0 0H.5V.5z"/></defs>{squares}'
    assert len(read_area(svg(body)).geoms) == 500
    with pytest.raises(Unreadable, match="would draw"):
        read_svg(svg(body.replace("</defs>", "</defs>" + "<g/>" * 10_000)), name="picture.svg")


@pytest.mark.parametrize("body", [
    '<text y="50">' + "x" * 300 + "</text>",
    '<marker id="m" viewBox="0 0 1 1">' + "<rect width='1' height='1'/>" * 30 + "</marker>"
    '<path d="M0 0' + "l4 4l4 -4" * 10 + '" marker-mid="url(#m)"/>',
    '<path d="M0 5H95" stroke="black" stroke-dasharray=".1"/>',
], ids=["letters", "markers", "dashes"])  # fmt: skip
def test_what_multiplies_while_it_is_drawn_is_counted_as_it_is(monkeypatch, body):
    assert read_svg(svg(body), name="picture.svg").area.area > 0
    monkeypatch.setattr("canivet.compose.reading._recorder.MOST_DRAWN", 250)
    with pytest.raises(Unreadable, match="too intricate: it draws more than 250 shapes"):
        read_svg(svg(body), name="picture.svg")


def test_a_hundred_nested_elements_are_read():
    assert read_area(svg("<g>" * 98 + '<path d="M0 0H9V9z"/>' + "</g>" * 98)).area > 0


def test_ordinary_document_types_are_no_obstacle():
    doctype = (
        b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/svg11.dtd">'
    )
    assert read_area(doctype + svg('<rect width="50" height="50"/>')).area == pytest.approx(12.7**2, rel=1e-3)


def test_long_runs_of_points_are_read_as_short_ones_are():
    angles = np.linspace(0, 2 * np.pi, 30_000, endpoint=False)
    points = " ".join(f"{50 + 40 * np.cos(a):.4f},{50 + 40 * np.sin(a):.4f}" for a in angles)
    disc = np.pi * 40**2 * 0.254**2
    assert read_area(svg(f'<polygon points="{points}"/>')).area == pytest.approx(disc, rel=1e-4)
    assert read_area(svg(f'<path d="M{points}z"/>')).area == pytest.approx(disc, rel=1e-4)


def test_a_number_after_a_closed_path_ends_it():
    # SVG 2, 9.5.4: path data is drawn up to its first error.
    assert read_area(svg('<path d="M0 0H50V50H0z 4 M60 60H90V90z"/>')).area == pytest.approx(
        12.7**2, rel=1e-3
    )


@pytest.mark.parametrize(("name", "content", "words"), [
    ("a.svg", b"", "a.svg is empty"),
    ("a.svg", b"\x1f\x8b\x08rest", r"compressed \(gzip, as .svgz is\); unpack it"),
    ("a.pdf", b"%PDF-1.7", "a PDF; open it in a drawing program and export it as SVG"),
    ("a.eps", b"%!PS-Adobe", "PostScript"),
    ("a.gif", b"GIF89a", "a GIF; save it as PNG"),
    ("a.zip", b"PK\x03\x04", "a ZIP archive"),
    ("a.txt", b"hello", "neither a drawing nor a picture that is known. Give an SVG drawing, or a PNG"),
    ("a.svg", b"hello", "is not well-formed XML"),
])  # fmt: skip
def test_a_file_of_another_kind_is_named_for_what_it_is(tmp_path, name, content, words):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(Unreadable, match=words):
        read_silhouette(tmp_path / name)


def test_content_counts_and_not_the_suffix(tmp_path):
    path = tmp_path / "drawing.png"
    path.write_bytes(b"\xef\xbb\xbf  " + svg('<rect width="50" height="50"/>'))
    assert read_silhouette(path).area.area == pytest.approx(12.7**2, rel=1e-3)


def test_a_drawing_in_utf16_is_read(tmp_path):
    path = tmp_path / "wide.svg"
    path.write_bytes(svg('<rect width="50" height="50"/>').decode().encode("utf-16"))
    assert read_silhouette(path).area.area == pytest.approx(12.7**2, rel=1e-3)


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path):
    with pytest.raises(Unreadable, match=r"none.svg is not there"):
        read_silhouette(tmp_path / "none.svg")
    with pytest.raises(Unreadable, match=r"is a folder, not an ordinary file. Give an SVG drawing"):
        read_silhouette(tmp_path)


def test_a_drawing_past_twenty_megabytes_is_refused(tmp_path):
    path = tmp_path / "vast.svg"
    path.write_bytes(svg('<rect width="9" height="9"/>').ljust(20_000_001))
    with pytest.raises(Unreadable, match="is larger than 20 MB"):
        read_silhouette(path)
    path.write_bytes(svg('<rect width="9" height="9"/>').ljust(20_000_000))
    assert read_silhouette(path).area.area > 0


@pytest.mark.parametrize(("numbers", "words"), [
    ({"width": 0.0}, "width is 0.0 mm; a silhouette's size is above zero"),
    ({"height": -1.0}, "height is -1.0 mm"),
    ({"width": float("nan")}, "width is nan"),
    ({"width": 10_001.0}, "at most 10000 mm"),
    ({"smooth": -0.1}, "smooth is -0.1 mm; it takes 0 mm to 10 mm"),
    ({"threshold": 1.1}, "threshold is 1.1; it takes 0 to 1"),
])  # fmt: skip
def test_a_number_out_of_range_is_named(tmp_path, numbers, words):
    with pytest.raises(BadValue, match=words):
        read_silhouette(tmp_path / "any.svg", **numbers)


def test_a_shape_too_small_or_too_large_to_cut_is_refused(tmp_path):
    path = tmp_path / "a.svg"
    path.write_bytes(svg('<rect width="1" height="1"/>'))
    with pytest.raises(Unreadable, match=r"too small to cut. Give a larger width"):
        read_silhouette(path, width=0.01)
    path.write_bytes(svg('<rect width="90" height=".0099"/>'))
    with pytest.raises(Unreadable, match=r"past ten metres. Give a smaller width"):
        read_silhouette(path, height=9000)


def test_a_missing_libcairo_is_said_in_one_sentence_with_what_to_install(monkeypatch):
    class NoCairo:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "cairocffi":
                raise OSError('no library called "cairo-2" was found')

    for name in [
        n
        for n in sys.modules
        if n.startswith(
            ("cairo", "canivet.compose.reading._recorder", "canivet.compose.reading._svg_surface")
        )
    ]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoCairo(), *sys.meta_path])
    with pytest.raises(MissingLibrary, match="apt-get install libcairo2") as caught:
        read_svg(svg('<rect width="9" height="9"/>'), name="a.svg")
    assert "Writing SVG works without it" in caught.value.message


SEEDS = [svg(body) for body in (*SPECIMENS.values(), *(pair[0] for pair in WARNED.values()))] + [
    paper("M0 0H9V5Z")
]
SPARKS = [
    b"-", b"NaN", b"1e9", b"1e400", b"0", b"<", b">", b'"', b"url(#c)", b"#a", b"%", b"z", b"use", b"&x;", b"\0",
    b"\xff", b"none", b"rgb(", b"clip-path", b"mask", b"-1", b"svg", b"<g>", b"</g>", b"matrix(0 0 0 0 0 0)",
]  # fmt: skip


@st.composite
def mutated(draw: st.DrawFn) -> bytes:
    source = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(source)))
        end = min(len(source), start + draw(st.integers(0, 12)))
        source = source[:start] + draw(st.sampled_from(SPARKS)) + source[end:]
    return source


@given(st.one_of(mutated(), mutated(), mutated(), st.binary(max_size=60)))
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_garbage_ends_in_a_silhouette_or_a_sentence(tmp_path, source):
    path = tmp_path / "garbage.svg"
    path.write_bytes(source)
    try:
        shape = read_silhouette(path, width=80)
    except CanivetError as error:
        message = error.message
    else:
        assert shape.area.is_valid
        assert shape.area.area > 0
        return
    assert message.endswith(".")
    assert "garbage.svg" in message
