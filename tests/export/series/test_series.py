"""A series: every row at every size, drawn anew, bound, listed, and resumed."""

import csv
import json
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pikepdf
import pypdfium2
import pytest
from scipy import ndimage
from series_specimens import BORDER, DESIGN, DRAWING, GROUND, NAMES
from shapely import box

from canivet.audit.necks import measure_necks
from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.reading.svg import read_paper_path
from canivet.compose.series import jobs as jobs_module
from canivet.compose.series.jobs import plan_jobs
from canivet.errors import BadValue, CannotWrite
from canivet.export.series import writing as module
from canivet.export.series.writing import write_series


def test_every_row_is_drawn_at_every_size_and_holds(put, tmp_path):
    jobs = plan_jobs(put(DESIGN + GROUND))
    assert [job.stem for job in jobs] == [
        "0001-ana-muñoz-60x90mm", "0001-ana-muñoz-80x120mm", "0002-jürgen-gross-60x90mm", "0002-jürgen-gross-80x120mm",
    ]  # fmt: skip
    done = []
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1, on_done=done.append)
    assert [p.number for p in done] == [1, 2, 3, 4]
    for plate in result.plates:
        paper = read_paper_path((tmp_path / "out" / plate.file).read_bytes())
        assert measure_necks(paper, limit=1.3).width.min() == pytest.approx(plate.weakest_strap, abs=0.001)
        assert plate.weakest_strap >= 1.198
        assert (paper.bounds[2] - paper.bounds[0]) == pytest.approx(plate.width, abs=0.001)
    small, large = result.plates[:2]
    assert large.openings > 1.5 * small.openings


def test_the_document_holds_every_page_in_order_at_its_size(seen):
    document = pypdfium2.PdfDocument(seen.document)
    words = [document[n].get_textpage().get_text_range() for n in range(len(document))]
    # A5 through to the MediaBox: ISO 216; 1 unit = 1/72 in, ISO 32000-1
    assert document[0].get_mediabox()[2:] == pytest.approx((148 * 72 / 25.4, 210 * 72 / 25.4), abs=1e-3)
    document.close()
    assert len(words) == 4
    assert all("Ana" in text for text in words[:2])
    assert b"/PrintScaling /None" in seen.document.read_bytes()
    contact = pypdfium2.PdfDocument(seen.contact_sheet)
    assert len(contact) == 1
    contact.close()


def test_a_contact_sheet_keeps_each_owners_plates_together_and_names_no_file(put, tmp_path):
    design = put(
        DESIGN.replace('"80x120 mm"', '"70x100 mm", "80x120 mm"').replace(BORDER, ""),
        "name,drawing\n" + "".join(f"Ana {n},a.svg\n" for n in range(9)),
    )
    result = write_series(plan_jobs(design), tmp_path / "out", title="Trial " * 30, workers=1)
    contact = pypdfium2.PdfDocument(result.contact_sheet)
    words = [page.get_textpage().get_text_range() for page in contact]
    contact.close()
    said = " ".join(words)
    assert [said.count(f"Ex libris Ana {n}") for n in range(9)] == [1] * 9, (
        "the name once for its three sizes"
    )
    assert said.count("60 × 90 mm") == said.count("80 × 120 mm") == 9
    assert ".svg" not in said
    assert len(words) == 3
    assert all(f"{k} of 3" in text and "all at 1 : " in text for k, text in enumerate(words, start=1))


def test_a_contact_sheet_shows_all_plates_to_one_scale(seen):
    document = pypdfium2.PdfDocument(seen.contact_sheet)
    said = document[0].get_textpage().get_text_range()
    smaller = float(said.partition("all at 1 : ")[2].split()[0])
    picture = np.array(document[0].render(scale=4).to_pil().convert("L"))
    document.close()
    labels, count = ndimage.label(picture < 100)
    boxes = [[(s.stop - s.start) / 4 / 72 * 25.4 for s in found] for found in ndimage.find_objects(labels)]
    tall = sorted(box for box in boxes if box[0] > 30)
    assert count > 4
    for (high, wide), (w, h) in zip(tall, [(60, 90), (60, 90), (80, 120), (80, 120)], strict=True):
        assert (wide * smaller, high * smaller) == pytest.approx((w, h), rel=0.015)


def test_the_document_has_an_entry_for_each_plate_and_says_what_it_is(seen):
    """ISO 32000-1: 12.3.3 (outline), 14.9.2 (language), Table 150 (Duplex); ISO 16684-1 (XMP)."""
    for path in (seen.document, seen.contact_sheet):
        with pikepdf.open(path) as document:
            assert document.check_pdf_syntax() == []
            assert document.Root.Lang == "en"
            assert document.Root.ViewerPreferences.Duplex == "/Simplex"
            with document.open_metadata() as about:
                assert about["pdf:Producer"].startswith("canivet")
                assert about["dc:title"] == str(document.docinfo["/Title"])
                assert about["xmp:CreateDate"]
            assert {"/Producer", "/CreationDate", "/ModDate"} <= set(document.docinfo.keys())
    with pikepdf.open(seen.document) as document, document.open_outline() as outline:
        assert [entry.title for entry in outline.root] == [
            f"Ex libris {name} · {size} mm" for name in ("Ana Muñoz", "Jürgen Groß") for size in ("60 × 90", "80 × 120")
        ]  # fmt: skip


def test_a_series_may_lie_together_on_common_sheets(put, tmp_path):
    design = put(DESIGN.replace("[sheet]\n", '[sheet]\npages = "together"\n').replace('"A5"', '"A4"'))
    result = write_series(plan_jobs(design), tmp_path / "out", title="Trial", workers=1)
    document = pypdfium2.PdfDocument(result.document)
    said = [page.get_textpage().get_text_range() for page in document]
    document.close()
    assert len(said) < len(result.plates)
    assert sum(text.count("Ex libris Ana") for text in said) == 2
    again = write_series(plan_jobs(design), tmp_path / "out", title="Trial", workers=1)
    assert again.kept == len(result.plates)


def test_single_pages_of_a_series_that_now_lies_together_are_stale(put, tmp_path):
    out = tmp_path / "out"
    single = plan_jobs(put(DESIGN.replace('"A5"', '"A4"')))
    assert write_series(single, out, title="Trial", workers=1).stale == ()
    design = put(DESIGN.replace("[sheet]\n", '[sheet]\npages = "together"\n').replace('"A5"', '"A4"'))
    result = write_series(plan_jobs(design), out, title="Trial", workers=1)
    assert sorted(result.stale) == sorted((out / "pages").glob("*.pdf")) != []
    cleared = write_series(plan_jobs(design), out, title="Trial", workers=1, tidy=True)
    assert cleared.stale == ()
    assert not list((out / "pages").glob("*.pdf"))


def test_a_series_has_one_size_of_sheet_unless_it_names_one(put, tmp_path):
    design = put(DESIGN.replace('[sheet]\nsize = "A5"\n', "").replace('"80x120 mm"', '"120x170 mm"'))
    result = write_series(plan_jobs(design), tmp_path / "out", title="Trial", workers=1)
    document = pypdfium2.PdfDocument(result.document)
    sizes = {tuple(round(side / 72 * 25.4) for side in page.get_size()) for page in document}
    document.close()
    assert len(sizes) == 1


def test_the_manifest_names_each_plates_weakest_strap(put, tmp_path):
    put(names="name,drawing\n=HYPERLINK(1),a\nAna,b\n")
    write_series(plan_jobs(load_design(tmp_path / "plate.toml")), tmp_path / "out", title="Trial", workers=1)
    with (tmp_path / "out/manifest.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    plain = json.loads((tmp_path / "out/manifest.json").read_text(encoding="utf-8"))
    assert [row["row"] for row in rows] == ["2", "2", "3", "3"]
    assert all(float(row["weakest_strap_mm"]) >= 1.198 for row in rows)
    assert [p["file"] for p in plain] == [row["file"] for row in rows]
    assert {"row", "words", "width_mm", "holds", "fault", "marked", "remarks"} <= set(rows[0])
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())


def test_an_interrupted_series_goes_on_where_it_stopped(put, tmp_path, monkeypatch):
    jobs = plan_jobs(put())
    drawn = []
    real = module._draw

    def counted(job, *rest):
        if len(drawn) == 2:
            raise KeyboardInterrupt
        drawn.append(job.stem)
        return real(job, *rest)

    monkeypatch.setattr(module, "_draw", counted)
    with pytest.raises(KeyboardInterrupt):
        write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    monkeypatch.setattr(module, "_draw", real)
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert result.kept == 2
    assert len(result.plates) == 4
    assert all(plate.holds for plate in result.plates)


def test_a_changed_design_is_drawn_again(put, tmp_path, drawn):
    same = write_series(drawn, tmp_path / "out", title="Trial", workers=1)
    assert same.kept == 4
    changed = write_series(
        plan_jobs(put(DESIGN.replace("9 mm", "10 mm"))), tmp_path / "out", title="Trial", workers=1
    )
    assert changed.kept == 0


def test_a_plate_that_does_not_fit_is_told_and_the_others_go_on(put, tmp_path):
    jobs = plan_jobs(put(DESIGN.replace('"60x90 mm"', '"20x30 mm"')))
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert [plate.holds for plate in result.plates] == [False, True, False, True]
    assert "mm" in result.plates[0].fault
    assert result.plates[0].file == ""
    assert not list((tmp_path / "out").glob("*20x30*"))


@pytest.mark.parametrize(
    ("design", "names", "said"),
    [
        (DESIGN.replace("{name}", "{nmae}"), NAMES, "Did you mean 'name'"),
        (DESIGN, "name\nAna\na\x07b\n" + "x" * 300 + "\n", "row 3, column 'name': character 2 is U+0007"),
        (DESIGN, "name\nAna\n" + "x" * 300 + "\n", "row 3, column 'name': 300 characters"),
        (
            DESIGN + '[[silhouette]]\nfile = "{drawing}"\n',
            "name,drawing\nA,../../etc/passwd\n",
            "lies outside the design's folder",
        ),
        (
            DESIGN + '[[silhouette]]\nfile = "{drawing}"\n',
            "name,drawing\nA,none.svg\n",
            "there is no file 'none.svg'",
        ),
        (DESIGN.partition("[series]")[0], NAMES, "there is no list to take it from"),
    ],
)
def test_a_list_that_cannot_be_used_is_refused_before_anything_is_drawn(put, tmp_path, design, names, said):
    with pytest.raises(BadValue) as caught:
        plan_jobs(put(design, names))
    assert said in caught.value.message
    assert not list((tmp_path / "out").iterdir())


def test_a_row_may_choose_its_silhouette(put, tmp_path):
    for name in ("a.svg", "b.svg"):
        (tmp_path / name).write_text(DRAWING, encoding="utf-8")
    jobs = plan_jobs(put(DESIGN + '[[silhouette]]\nfile = "{drawing}"\nheight = "20 mm"\n'))
    assert [job.design.silhouette[0].file for job in jobs[::2]] == ["a.svg", "b.svg"]
    assert all(p.holds for p in write_series(jobs[:1], tmp_path / "out", title="T", workers=1).plates)


def test_a_missing_folder_is_refused(put, tmp_path):
    with pytest.raises(CannotWrite):
        write_series(plan_jobs(put()), tmp_path / "none", title="Trial", workers=1)


def test_a_weak_plate_is_marked_and_no_longer_once_it_holds(put, tmp_path, monkeypatch):
    jobs = plan_jobs(put(DESIGN.replace('"60x90 mm", ', "")))
    real = jobs_module.compose_plate

    def weak(design, size, **given):
        """Compose the plate, and cut its last opening a hair from the edge: composing would see to it."""
        plate = real(design, size, **given)
        paper = plate.cutting.paper.difference(box(plate.cutting.paper.bounds[0] + 0.4, 5, 3, 8))
        report = check_strength(paper, strap=1.2)
        return replace(plate, cutting=replace(plate.cutting, paper=paper), report=report)

    monkeypatch.setattr(jobs_module, "compose_plate", weak)
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert [plate.holds for plate in result.plates] == [False, False]
    assert [plate.marked for plate in result.plates] == [f"{job.stem}-marked.pdf" for job in jobs]
    assert all("under the strap" in plate.fault for plate in result.plates)
    assert not list((tmp_path / "out").glob("*.svg"))
    page = pypdfium2.PdfDocument(tmp_path / "out" / result.plates[0].marked)
    assert "does not hold" in page[0].get_textpage().get_text_range()
    page.close()
    monkeypatch.setattr(jobs_module, "compose_plate", real)
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert all(plate.holds for plate in result.plates)
    assert not list((tmp_path / "out").glob("*-marked.pdf"))


def test_a_changed_face_is_drawn_again(put, tmp_path):
    # Alegreya Sans, SIL Open Font License 1.1, from the package fontpkg-alegreya-sans.
    faces = [
        files("fontpkg_alegreya_sans") / f"files/AlegreyaSans-{weight}.ttf" for weight in ("Bold", "Black")
    ]
    words = (
        '[[lettering]]\ntext = "{name}"\nface = "own.ttf"\nwidth = "100%"\nheight = "25%"\nmode = "cut out"\n'
    )
    (tmp_path / "own.ttf").write_bytes(faces[0].read_bytes())
    jobs = plan_jobs(put(DESIGN.replace('"60x90 mm", ', "") + words))
    write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert write_series(jobs, tmp_path / "out", title="Trial", workers=1).kept == 2
    (tmp_path / "own.ttf").write_bytes(faces[1].read_bytes())
    assert write_series(jobs, tmp_path / "out", title="Trial", workers=1).kept == 0


def test_what_is_damaged_is_drawn_again(tmp_path, drawn):
    jobs = drawn
    out = tmp_path / "out"
    whole = (out / "series.pdf").read_bytes()
    (out / "pages" / f"{jobs[0].stem}.path").unlink()
    (out / "pages" / f"{jobs[1].stem}.pdf").write_bytes(b"%PDF-1.7 cut sh")
    with (out / "pages/journal.jsonl").open("ab") as journal:
        right = (out / "pages/journal.jsonl").read_text().splitlines()[2]
        wrong = {**json.loads(right), "file": 7, "digest": None}
        for line in ("[]", "7", '"x"', "null", "[" * 100_000, "9" * 5000, json.dumps(wrong), '{"file": {}}'):
            journal.write(line.encode() + b"\n")
        journal.write(b'\xff\xfe{"number": ')
    again = write_series(jobs, out, title="Trial", workers=1)
    assert again.kept == 2
    assert again.document.read_bytes() == whole


@pytest.mark.usefixtures("drawn")
def test_drawings_of_an_older_run_are_named_and_what_they_were_bound_in_goes(put, tmp_path):
    out = tmp_path / "out"
    jobs = plan_jobs(put(DESIGN.replace('band = "9 mm"', 'band = "40 mm"')))
    result = write_series(jobs, out, title="Trial", workers=1)
    assert not any(plate.holds for plate in result.plates)
    assert result.older == tuple(f"{job.stem}.svg" for job in jobs)
    assert (result.document, result.contact_sheet) == (None, None)
    assert not (out / "series.pdf").exists()
    assert not (out / "contact-sheet.pdf").exists()


def test_a_folder_in_the_way_is_told(put, tmp_path):
    jobs = plan_jobs(put())
    (tmp_path / "out/pages").write_text("no folder", encoding="utf-8")
    with pytest.raises(CannotWrite, match="cannot make the folder"):
        write_series(jobs, tmp_path / "out", title="Trial", workers=1)


def test_sizes_that_differ_by_little_get_names_of_their_own(put):
    jobs = plan_jobs(put(DESIGN.replace('"60x90 mm", "80x120 mm"', '"60x90 mm", "60.04x90 mm"')))
    assert len({job.stem for job in jobs}) == len(jobs) == 4


def test_each_plate_is_written_down_as_it_is_done(put, tmp_path):
    jobs = plan_jobs(put())
    written = []

    def stop(record):
        written.append(record)
        if len(written) == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_series(jobs, tmp_path / "out", title="Trial", workers=1, on_done=stop)
    assert len((tmp_path / "out/pages/journal.jsonl").read_text().splitlines()) == 2
    assert write_series(jobs, tmp_path / "out", title="Trial", workers=1).kept == 2


def test_what_all_rows_share_is_found_before_the_first_plate(put, tmp_path, monkeypatch):
    jobs = plan_jobs(put(DESIGN.replace('size = "A5"', 'size = "A6"')))
    drawn = []
    monkeypatch.setattr(module, "_draw", lambda job, *_: drawn.append(job))
    result = write_series(jobs[1::2], tmp_path / "out", title="Trial", workers=1)
    assert not drawn
    assert len({plate.fault for plate in result.plates}) == 1
    assert "sheet" in result.plates[0].fault


def test_a_face_that_is_no_font_is_found_before_the_first_plate(put, tmp_path, monkeypatch):
    words = '[[lettering]]\ntext = "{name}"\nface = "none.ttf"\nwidth = "90%"\nheight = "20%"\n'
    (tmp_path / "none.ttf").write_bytes(b"no font")
    jobs = plan_jobs(put(DESIGN + words))
    monkeypatch.setattr(module, "_draw", lambda *_: pytest.fail("a plate was drawn"))
    result = write_series(jobs, tmp_path / "out", title="Trial", workers=1)
    assert all("none.ttf" in plate.fault for plate in result.plates)


@pytest.mark.usefixtures("drawn")
def test_a_row_taken_out_leaves_files_that_are_told_and_cleared_when_asked(put, tmp_path):
    out = tmp_path / "out"
    (out / "notes.svg").write_text("the maker's own")
    fewer = plan_jobs(put(names="name,drawing\nAna Muñoz,a.svg\n"))
    told = write_series(fewer, out, title="Trial", workers=1)
    gone = {path for path in told.stale if path.parent == out}
    assert {path.name for path in gone} == {
        "0002-jürgen-gross-60x90mm.svg",
        "0002-jürgen-gross-80x120mm.svg",
    }
    assert all(path.exists() for path in told.stale)
    assert write_series(fewer, out, title="Trial", workers=1, tidy=True).stale == ()
    assert not any(path.exists() for path in told.stale)
    assert (out / "notes.svg").read_text() == "the maker's own"
    assert sorted(path.name for path in out.glob("0001*.svg")) == [f"{job.stem}.svg" for job in fewer]


def test_a_stale_plate_that_the_maker_changed_is_the_makers(put, tmp_path, drawn):
    out = tmp_path / "out"
    jobs = drawn
    changed = out / f"{jobs[-1].stem}.svg"
    changed.write_text(changed.read_text() + "<!-- a note -->")
    fewer = plan_jobs(put(names="name,drawing\nAna Muñoz,a.svg\n"))
    result = write_series(fewer, out, title="Trial", workers=1, tidy=True)
    assert result.stale == ()
    assert changed.exists()
    assert not (out / f"{jobs[-2].stem}.svg").exists()


def test_a_document_of_the_makers_own_is_not_taken_away(put, tmp_path):
    out = tmp_path / "out"
    (out / "series.pdf").write_bytes(b"the maker's own")
    jobs = plan_jobs(put(DESIGN.replace('band = "9 mm"', 'band = "40 mm"')))
    assert not any(p.holds for p in write_series(jobs, out, title="Trial", workers=1).plates)
    assert (out / "series.pdf").read_bytes() == b"the maker's own"


def test_a_folder_where_the_bound_pages_go_is_refused_before_anything_is_drawn(put, tmp_path, monkeypatch):
    (tmp_path / "out/series.pdf").mkdir()
    monkeypatch.setattr(module, "_draw", lambda *_: pytest.fail("a plate was drawn"))
    with pytest.raises(CannotWrite, match=r"series.pdf: it is a folder"):
        write_series(plan_jobs(put()), tmp_path / "out", title="Trial", workers=1)
