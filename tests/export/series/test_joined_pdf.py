"""Pages bound into one document: the same pages, by other readers, and no memory that grows with them."""

import os
import subprocess
import sys
import textwrap

import numpy as np
import pikepdf
import pypdfium2
import pytest
from shapely import box

from canivet.cutting import Cutting
from canivet.errors import CannotWrite
from canivet.export.pdf import pdf_bytes
from canivet.export.series.joined_pdf import join_pdfs


@pytest.fixture
def pages(tmp_path):
    """Three pages of three sizes and titles, the last not only in Latin letters."""
    made = []
    for number, (title, side) in enumerate([("Reed", 60), ("Böe (1) \\ 2", 80), ("Ørn и Лебедь", 100)]):
        piece = Cutting(box(0, 0, side, side) - box(5, 5, side - 5, side - 5), 1.2, title=title)
        path = tmp_path / f"{number}.pdf"
        path.write_bytes(pdf_bytes(piece))
        made.append(path)
    return made


def _drawn(path):
    document = pypdfium2.PdfDocument(path)
    drawn = [(page.get_mediabox(), np.array(page.render(scale=1.5).to_pil())) for page in document]
    document.close()
    return drawn


def test_every_page_is_drawn_as_it_was(pages, tmp_path):
    # pypdfium2 draws, pikepdf (qpdf) checks the syntax: neither has written the document.
    join_pdfs(tmp_path / "all.pdf", pages, title="All")
    bound, alone = _drawn(tmp_path / "all.pdf"), [_drawn(page)[0] for page in pages]
    assert len(bound) == 3
    for (box_bound, seen), (box_alone, meant) in zip(bound, alone, strict=True):
        assert box_bound == box_alone
        assert np.array_equal(seen, meant)
        assert (seen < 128).any()
    with pikepdf.open(tmp_path / "all.pdf") as document:
        assert document.check_pdf_syntax() == []


def test_the_document_asks_not_to_be_scaled_and_has_its_title(pages, tmp_path):
    title = "Plátno (3) \\ ※"
    join_pdfs(tmp_path / "all.pdf", pages, title=title)
    with pikepdf.open(tmp_path / "all.pdf") as document:
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
        assert str(document.docinfo["/Title"]) == title


def test_the_same_pages_give_the_same_bytes(pages, tmp_path):
    join_pdfs(tmp_path / "one.pdf", pages, title="All")
    join_pdfs(tmp_path / "two.pdf", pages, title="All")
    join_pdfs(tmp_path / "other.pdf", pages[:2], title="All")
    one, two, other = ((tmp_path / f"{name}.pdf").read_bytes() for name in ("one", "two", "other"))
    assert one == two
    assert one[-80:] != other[-80:]


def test_a_page_keeps_what_it_inherits_and_shares(tmp_path):
    """A page whose size and resources stand above it, with an array, a null, a real and a shared object."""
    with pikepdf.new() as source:
        source.add_blank_page(page_size=(10, 10))
        page = source.pages[0].obj
        del page["/MediaBox"]
        above = source.Root.Pages
        above.MediaBox = pikepdf.Array([0, 0, 200, 100.25])
        shared = source.make_indirect(pikepdf.Dictionary(Odd=pikepdf.Name("/A B#"), Flag=True, Back=None))
        page.PieceInfo = pikepdf.Dictionary(One=shared, Two=pikepdf.Array([shared, -3, 0.5]))
        shared.Page = page
        source.save(tmp_path / "page.pdf")
    join_pdfs(tmp_path / "all.pdf", [tmp_path / "page.pdf"] * 2, title="All")
    with pikepdf.open(tmp_path / "all.pdf") as document:
        assert document.check_pdf_syntax() == []
        assert len(document.pages) == 2
        for page in document.pages:
            assert [float(side) for side in page.obj.MediaBox] == [0, 0, 200, 100.25]
            info = page.obj.PieceInfo
            assert info.One.objgen == info.Two[0].objgen
            assert info.One.Odd == pikepdf.Name("/A B#")
            assert info.One.Flag
            assert [float(n) for n in list(info.Two)[1:]] == [-3, 0.5]
            assert info.One.Page.objgen == page.obj.objgen


def test_what_cannot_be_written_is_told_and_leaves_nothing(pages, tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("canivet.export.series.joined_pdf._bind", full)
    with pytest.raises(CannotWrite, match=r"all\.pdf: the disk is full"):
        join_pdfs(tmp_path / "all.pdf", pages, title="All")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["0.pdf", "1.pdf", "2.pdf"]


def test_memory_does_not_grow_with_the_pages(tmp_path):
    pytest.importorskip("resource")
    noise = np.random.default_rng(1).integers(0, 256, 200_000, dtype=np.uint8).tobytes()
    with pikepdf.new() as source:
        source.add_blank_page()
        source.pages[0].obj.PieceInfo = source.make_stream(noise)
        source.save(tmp_path / "page.pdf")
    told = textwrap.dedent("""
        import resource, sys
        from canivet.export.series.joined_pdf import join_pdfs
        peaks = []
        for n in (20, 600):
            join_pdfs("all.pdf", ["page.pdf"] * n, title="All")
            peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
        print(peaks[1] / peaks[0])
    """)
    run = subprocess.run(
        [sys.executable, "-c", told], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    # 600 pages are 120 MB: held in memory they would triple a process of some 50 MB.
    assert (tmp_path / "all.pdf").stat().st_size > 600 * len(noise)
    assert float(run.stdout) < 1.2
