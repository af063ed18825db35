"""The pattern book: a page for every motif, at true size."""

import pypdfium2
import pytest
from click.testing import CliRunner

from canivet.cli.main import cli
from canivet.export.book.samples import show_motif
from canivet.motifs import catalogue, find_motif


def test_a_book_of_one_has_an_index_and_a_page_with_its_keys(tmp_path):
    file = tmp_path / "book.pdf"
    run = CliRunner().invoke(cli, ["motifs", "scallop", "-o", str(file)])
    assert run.exit_code == 0, run.output
    with pypdfium2.PdfDocument(file) as book:
        words = [page.get_textpage().get_text_bounded() for page in book]
    assert len(words) == 2
    assert "page 2" in words[0]
    assert all(name in words[1] for name in ("scallop", "smallest = 0.5", "true size", "Goes down to about"))


def test_a_book_for_the_screen_links_every_name_to_its_page(tmp_path):
    file = tmp_path / "book.html"
    run = CliRunner().invoke(cli, ["motifs", "oval", "-o", str(file)])
    assert run.exit_code == 0, run.output
    page = file.read_text("utf-8")
    assert page.count("<section") == 2
    assert 'href="#page-2"' in page
    assert 'id="page-2"' in page


def test_a_book_of_another_kind_is_refused_and_nothing_is_written(tmp_path):
    run = CliRunner().invoke(cli, ["motifs", "oval", "-o", str(tmp_path / "book.docx")])
    assert run.exit_code == 2
    assert "NAME.pdf or NAME.html" in run.output
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("name", catalogue())
def test_every_motif_has_a_page_and_variations(name):
    shown = show_motif(find_motif(name))
    assert shown.main is not None, shown.fault
    assert shown.variations or shown.motif.family == "outline"
