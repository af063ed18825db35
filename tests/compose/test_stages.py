"""Stages of a plate that are kept: what they give is what drawing all anew gives, byte for byte."""

import random

import pytest
import shapely
from shapely import box

from canivet.audit.again import forget_measures
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.series.jobs import draw_job, plan_jobs
from canivet.compose.stages import begin_plate, clear_stages, remembered, share_stages, stage
from canivet.errors import CanivetError
from canivet.export.parts import parts_of
from canivet.export.svg import piece_svg

LEAF = '<svg viewBox="0 0 20 40" width="20mm" height="40mm"><path d="M10 0Q24 20 10 40Q-4 20 10 0Z{}"/></svg>'
CHOICES = {
    "border": ['border = {motif = "scallop", band = "8 mm"}', 'border = {motif = "zigzag", band = "9 mm"}', ""],
    "ground": ['ground = {motif = "diamond-lattice", pitch = "9 mm"}', ""],
    "vignette": ['vignette = {shape = "oval", width = "80%"}', ""],
    "lines": ['lines = {rail = "2.2 mm"}', 'lines = {fine = "1.4 mm"}', ""],
    "figure": [
        'file = "leaf.svg"\nheight = "50%"', 'file = "leaf.svg"\nheight = "50%"\noffset = ["3 mm", "1 mm"]',
        'motif = "tree"\nwidth = "50%"\nheight = "60%"\nanchor = "foot"',
        'file = "leaf.svg"\nheight = "50%"\nmargin = "2 mm"',
    ],
    "words": ['text = "Ada"', 'text = "Jürgen"\nmode = "cut out"'],
    "leaf": ["", "M8 18L12 18L10 24Z"],
}  # fmt: skip


def drawn(folder, chosen, text=None):
    """Write a design and its drawing, and return all that is handed on of its plate, or why there is none."""
    (folder / "leaf.svg").write_text(LEAF.format(chosen["leaf"]))
    tables = "\n".join(chosen[key] for key in ("border", "ground", "vignette", "lines"))
    words = chosen["words"] if text is None else f'text = "{text}"'
    (folder / "plate.toml").write_text(
        f'title = "Leaf"\nsize = "70x100 mm"\nsmallest_opening = "0.4 mm"\n{tables}\n[[silhouette]]\n'
        f'{chosen["figure"]}\n[[lettering]]\n{words}\nheight = "16%"\n',
        encoding="utf-8",
    )
    try:
        plate = compose_plate(load_design(folder / "plate.toml"))
    except CanivetError as error:
        return error.message
    return piece_svg(plate.cutting, parts_of(plate)), plate.report.to_json(), plate.remarks


@pytest.mark.parametrize(
    ("seed", "edits"), [(1, 2), *(pytest.param(k, 6, marks=pytest.mark.slow) for k in range(2, 22))]
)
def test_a_plate_after_any_edits_is_the_plate_drawn_alone(tmp_path, seed, edits):
    chance = random.Random(seed)
    chosen = {key: chance.choice(ways) for key, ways in CHOICES.items()}
    drawn(tmp_path, chosen)
    for _ in range(edits):
        key = chance.choice(list(CHOICES))
        chosen[key] = chance.choice([way for way in CHOICES[key] if way != chosen[key]])
        after = drawn(tmp_path, chosen)
        clear_stages()
        forget_measures()
        assert drawn(tmp_path, chosen) == after


def test_a_row_of_a_series_is_the_plate_drawn_alone(tmp_path):
    (tmp_path / "names.csv").write_text("name\nAda\nZoë\n", encoding="utf-8")
    (tmp_path / "plate.toml").write_text(
        'title = "{name}"\nsize = "70x100 mm"\nborder = {motif = "scallop", band = "8 mm"}\n[[lettering]]\n'
        'text = "{name}"\nheight = "16%"\n[series]\nlist = "names.csv"\n',
        encoding="utf-8",
    )
    jobs = plan_jobs(load_design(tmp_path / "plate.toml"))
    together = [draw_job(job).composed() for job in jobs]
    clear_stages()
    forget_measures()
    alone = draw_job(jobs[1]).composed()
    assert piece_svg(alone.cutting) == piece_svg(together[1].cutting)
    assert alone.report == together[1].report


def test_only_the_last_results_are_kept():
    counted = []
    for _ in range(2):
        for k in range(100):
            stage("counted", lambda k=k: counted.append(k), k)
    assert len(counted) == 200
    stage("counted", lambda: counted.append(99), 99)
    assert len(counted) == 200


def test_a_stage_depends_on_all_it_names_and_on_nothing_it_cannot_tell_apart():
    shapes = [stage("shape", lambda k=k: shapely.buffer(box(0, 0, k, 1), 1), box(0, 0, k, 1)) for k in (1, 2)]
    assert not shapes[0].equals(shapes[1])
    with pytest.raises(TypeError, match="cannot depend"):
        stage("shape", lambda: None, object())


@remembered(most=3)
def squared(side):
    return box(0, 0, side, side), object()


def test_what_a_function_gave_is_kept_for_the_values_given_last():
    first = squared(1.0)
    assert squared(1.0) is first
    for side in (2.0, 3.0, 4.0):
        squared(side)
    assert squared(1.0) is not first


def test_what_no_plate_has_asked_for_in_a_while_is_forgotten_and_what_all_have_stays():
    drawn = []

    @remembered(most=10_000)
    def ring(side):
        drawn.append(side)
        return box(0, 0, side, side)

    for plate in range(200):
        begin_plate()
        ring(1.0)
        ring(2.0 + plate)
    assert drawn.count(1.0) == 1
    ring(201.0)
    assert drawn.count(201.0) == 1
    ring(2.0)
    assert drawn.count(2.0) == 2


def test_what_was_drawn_goes_to_another_process_in_a_file(tmp_path):
    drawn = stage("sent", lambda: box(0, 0, 3, 1), "sent"), squared(5.0)[0]
    shared = share_stages(tmp_path / "drawn")
    clear_stages()  # as in another process
    shared.take()
    taken = stage("sent", lambda: pytest.fail("drawn again"), "sent"), squared(5.0)[0]
    assert taken == drawn
    assert taken[0] is not drawn[0]
    clear_stages()
    assert stage("sent", lambda: "drawn again", "sent") == "drawn again"


@pytest.mark.parametrize("harm", [lambda path: path.unlink(), lambda path: path.write_bytes(b"another")])
def test_a_file_that_is_not_the_one_that_was_sent_is_left(tmp_path, harm):
    stage("harmed", lambda: 1, "harmed")
    shared = share_stages(tmp_path / "drawn")
    clear_stages()
    harm(shared.path)
    shared.take()
    assert stage("harmed", lambda: 2, "harmed") == 2
