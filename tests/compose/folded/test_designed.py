"""A design with a fold: the same piece as the command's, its packet beside it, and what contradicts it refused."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from shapely.affinity import translate
from shapely.geometry import Polygon
from support import assert_one_piece

from canivet.cli.main import cli
from canivet.compose.design.folding import KEYS, FoldSettings, check_together
from canivet.compose.design.loading import load_design
from canivet.compose.folded.piece import Promise, fold_piece
from canivet.compose.plate import compose_plate
from canivet.compose.reading.svg import read_paper_path
from canivet.errors import BadValue
from canivet.motifs.folding.kinds import KINDS
from canivet.motifs.folding.wedge.rings import Ring
from canivet.stock import Stock

HEAD = 'title = "Rushes"\nstrap = "1.5 mm"\n[paper]\nfaces = "plain"\nthickness = "0.02 mm"\n'
BAR = '<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="20mm" viewBox="0 0 10 20"><path d="M0 0H10V20H0Z"/></svg>'
COMB = '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="40mm" viewBox="0 0 20 40"><path d="M0 0H20V40H10.5V10H9.5V40H0Z"/></svg>'


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("bar.svg").write_text(BAR, encoding="utf-8")
    Path("comb.svg").write_text(COMB, encoding="utf-8")
    return tmp_path


def run(*words: str):
    return CliRunner().invoke(cli, list(words))


def design(fold: str, *, head: str = HEAD, more: str = "") -> Path:
    path = Path("rushes.toml")
    path.write_text(f"{head}[fold]\n{fold}\n{more}", encoding="utf-8")
    return path


def faults(fold: str, *, head: str = HEAD, more: str = "") -> str:
    with pytest.raises(BadValue) as caught:
        load_design(design(fold, head=head, more=more))
    return caught.value.message


def paper_of(path: str) -> str:
    found = re.search(r'<path[^>]* id="paper"[^>]*>', Path(path).read_text(encoding="utf-8"))
    assert found is not None
    data = re.search(r' d="([^"]*)"', found[0])
    assert data is not None
    return data[1]


SAME = [
    # what a design says, and the same on the command line
    ('kind = "mirror"\nseed = 4', "mirror --seed 4"),
    (
        'kind = "medallion"\ncount = 5\nrings = ["drops fill", "petals count=2 at=between"]\neye = "5 mm"\n'
        'gap = "0.5 mm"\nborder = "scallops count=2 depth=5mm"',
        "medallion --count 5 --ring drops_fill --ring petals_count=2_at=between --eye 5mm --gap 0.5mm "
        "--border scallops_count=2_depth=5mm",
    ),
    ('kind = "accordion"\npanels = 4\nhem = "6 mm"\nrings = "hearts"', "accordion --panels 4 --hem 6mm --ring hearts"),
    ('kind = "p2mm"\npanels = 3\nrows = 3', "p2mm --panels 3 --rows 3"),
    ('kind = "mirror"\nwedge = "bar.svg"\nat = "20x40"\nwidth = "12 mm"', "mirror --wedge bar.svg --at 20x40 --width 12mm"),
    ('kind = "mirror"\nfigure = "bar.svg"\nat = ["-4 mm", 30]', "mirror --figure bar.svg --at -4x30mm"),
    (
        'kind = "accordion"\npanels = 2\nfigure = "bar.svg"\nstays = true\nwidth = "40 mm"',
        "accordion --panels 2 --figure bar.svg --stays --width 40mm",
    ),
    ('kind = "quarter"\nwords = "Noa"\nmirrored = true', "quarter --words Noa --mirrored"),
    ('kind = "star"\ncount = 7', "star --count 7"),
    ('kind = "p31m"\nflat = true', "p31m --flat"),
]  # fmt: skip


@pytest.mark.parametrize(("fold", "words"), SAME, ids=[words for _, words in SAME])
def test_a_design_draws_the_piece_that_the_command_draws(fold, words):
    path = design(fold)
    assert run("make", str(path)).exit_code == 0
    own = "rushes-made.svg"
    result = run(
        "fold", *(word.replace("_", " ") for word in words.split()), "--thickness", "0.02mm", "-o", own
    )
    assert result.exit_code == 0, result.output
    plate = compose_plate(load_design(path))
    assert_one_piece(plate.cutting.paper)
    assert plate.report.holds
    made = read_paper_path(Path(own).read_bytes())
    drawn = plate.cutting.paper
    assert at_origin(drawn).symmetric_difference(at_origin(made)).area < 1e-3 * made.length


def at_origin(paper):
    return translate(paper, -paper.bounds[0], -paper.bounds[1])


def test_every_key_is_tried_against_the_command():
    tried = {line.partition(" =")[0] for fold, _ in SAME for line in fold.splitlines()}
    assert {*KEYS, "kind"} - tried == {"creep", "sheet", "paper"}


def test_the_opened_piece_and_its_packet_are_written():
    result = run("make", str(design('kind = "quarter"\nsheet = "A3"')))
    assert result.exit_code == 0, result.output
    written = ["rushes.svg", "rushes.pdf", "rushes.png", "rushes-packet.svg", "rushes-packet.pdf"]
    assert result.stdout.splitlines() == written
    packet = Path("rushes-packet.svg").read_text(encoding="utf-8")
    assert 'id="wedge"' in packet
    assert 'viewBox="0 0 297 420"' in packet


def test_a_sheet_cut_flat_has_no_packet():
    assert run("make", str(design('kind = "pg"\nflat = true'))).exit_code == 0
    assert not list(Path().glob("*packet*"))


def test_a_packet_that_does_not_fit_its_page_leaves_nothing_written():
    result = run("make", str(design('kind = "quarter"\nsheet = "A6"')))
    assert result.exit_code == 1
    assert "sheet is A6" in result.stderr
    assert not list(Path().glob("rushes*.svg"))


def test_every_size_is_folded_anew():
    head = 'size = ["160x160 mm", "100x100 mm"]\n' + HEAD
    assert run("make", str(design('kind = "medallion"', head=head))).exit_code == 0
    for size in ("160x160mm", "100x100mm"):
        assert Path(f"rushes-{size}.svg").exists()
        assert Path(f"rushes-{size}-packet.svg").exists()


def test_a_list_fills_the_words_that_are_cut():
    Path("names.csv").write_text("name\nAda\nNoa\n", encoding="utf-8")
    path = design(
        'kind = "mirror"\nwords = "{name}"', head='size = "160x80 mm"\n' + HEAD.replace("Rushes", "For {name}"),
        more='[series]\nlist = "names.csv"',
    )  # fmt: skip
    assert run("make", str(path), "--workers", "1").exit_code == 0
    ada, noa = (paper_of(f"000{k}.svg".replace(".", f"-{n}.")) for k, n in ((1, "ada"), (2, "noa")))
    assert ada != noa
    assert Path("0001-ada-packet.svg").exists()
    assert Path("0001-ada-packet.pdf").read_bytes().startswith(b"%PDF")
    Path("0001-ada-packet.svg").unlink()
    assert run("make", str(path), "--workers", "1").exit_code == 0
    assert Path("0001-ada-packet.svg").exists()


def test_words_that_ask_for_a_list_are_refused_without_one():
    assert "fold.words asks for {name}" in faults('kind = "mirror"\nwords = "{name}"')


def test_a_weak_piece_is_marked_and_not_written():
    result = run("make", str(design('kind = "mirror"\nwedge = "comb.svg"\nat = "15x40"')))
    assert result.exit_code == 3
    assert "does NOT hold" in result.stderr
    assert {path.name for path in Path().glob("rushes*")} == {"rushes.toml", "rushes-marked.pdf"}
    assert run("check", "rushes.toml").exit_code == 3


@pytest.mark.parametrize(
    ("table", "own"),
    [('frame = "arched-window"', ""), ('outline = "oval"', "sheet is the fold's own"),
     ('border = "scallop"', "fold.border"), ('ground = "diamond-lattice"', "fold.rings"),
     ("vignette = {}", ""), ('silhouette = [{file = "bar.svg"}]', "fold.figure"),
     ('lettering = [{text = "Noa"}]', "fold.words"), ("join = {}", ""), ("repair = {}", "")],
)  # fmt: skip
def test_a_table_of_a_plate_beside_a_fold_is_refused_with_what_the_fold_has_instead(table, own):
    said = faults('kind = "mirror"', head=f"{table}\n{HEAD}")
    name = table.partition(" ")[0]
    assert f"{name} is a plate's" in said
    assert f"Take {name} or [fold] out" in said
    assert own in said


@pytest.mark.parametrize(
    ("fold", "said"),
    [("", "fold.kind is missing"), ('kind = "medalion"', "fold.kind is 'medalion'"),
     ('kind = "pg"', "folding cannot make it"), ('kind = "mirror"\nflat = true', "fold.kind is 'mirror'; the plane groups are"),
     ('kind = "medallion"\ncount = 17', "fold.count is 17; it takes a whole number from 2 to 16"),
     ('kind = "star"\ncount = 4', "fold.count is 4; it takes a whole number from 5 to 16"),
     ('kind = "medallion"\ncount = "six"', "fold.count is 'six'"), ('kind = "medallion"\ncount = true', "fold.count is True"),
     ('kind = "mirror"\npanels = 3', "fold.panels is given with mirror"), ('kind = "mirror"\nhem = "-1 mm"', "fold.hem is '-1 mm'"),
     ('kind = "mirror"\nring = "drops"', "fold.ring is not known. Did you mean 'rings'?"),
     ('kind = "mirror"\nrings = []', "fold.rings is []"), ('kind = "mirror"\nrings = [3]', "fold.rings holds 3"),
     ('kind = "mirror"\nrings = ["petal"]', "petal"), ('kind = "mirror"\nrings = ["petals x=1"]', "fold.rings has 'x=1'"),
     ('kind = "mirror"\nborder = "teeth deep=3"', "fold.border has 'deep=3'"), ('kind = "mirror"\nseed = 1\nwords = "Noa"', "both given"),
     ('kind = "mirror"\nat = [1, 2, 3]', "fold.at is [1, 2, 3]"), ('kind = "mirror"\nat = "1x2"', "fold.at is given without fold.wedge or fold.figure"),
     ('kind = "mirror"\nfigure = "bar.svg"\nwidth = 0', "fold.width is 0 mm"), ('kind = "mirror"\nwords = " "', "fold.words is ' '"),
     ('kind = "mirror"\nsheet = "A11"', "fold.sheet"), ('kind = "mirror"\nmirrored = "perhaps"', "fold.mirrored"),
     ('kind = "pg"\nflat = true\nsheet = "A4"', "fold.sheet is given with fold.flat"),
     ('kind = "mirror"\nseed = -1', "fold.seed is -1")],
)  # fmt: skip
def test_what_cannot_be_folded_is_refused_with_its_place(fold, said):
    assert said in faults(fold)


def test_all_faults_of_a_fold_are_told_at_once():
    said = faults('kind = "medallion"\ncount = 1\npanels = 3\neye = "x"\nrings = ["drops", "petals cont=1"]')
    assert "has 4 faults" in said


def test_a_rim_that_a_star_has_no_use_for_is_refused():
    assert "rim is given with star" in faults('kind = "star"', head='rim = "4 mm"\n' + HEAD)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_without_a_size_has_its_usual_one(kind):
    assert load_design(design(f'kind = "{kind}"')).size == (FoldSettings(kind=kind).usual_size,)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", KEYS)
def test_a_key_is_refused_by_every_kind_that_does_not_take_it(kind, name):
    key = KEYS[name]
    refused = check_together(kind, [*key.needs[:1], name])
    assert bool(refused) == (bool(key.kinds) and kind not in key.kinds), [fault.message for fault in refused]


def test_a_slip_widens_the_straps_of_a_fold():
    plain, careful = (
        compose_plate(load_design(design('kind = "quarter"', head=head)))
        for head in (HEAD, 'slip = "0.2 mm"\n' + HEAD)
    )
    assert plain.report.weakest.width < 1.9 <= careful.report.weakest.width + 0.001
    assert careful.report.holds


def test_a_plan_of_a_fold_is_of_its_packet():
    result = run("plan", str(design('kind = "mirror"\nseed = 4')), "--json")
    assert result.exit_code == 0, result.output
    assert json.loads(result.stdout)["layers"] == 2


@pytest.mark.parametrize(
    "given", [{"rings": (Ring("hearts"), Ring("drops", fill=True)), "eye": 4.0}, {"seed": 3}, {"gap": 2.0}]
)
def test_a_star_is_pierced_by_rings_and_keeps_the_form_its_snip_gives(given):
    whole, pierced = (
        fold_piece(FoldSettings(kind="star", count=6, **more), Promise(1.5), stock=Stock.of(thickness=0.1))
        for more in ({}, given)
    )
    assert pierced.report.holds
    assert not whole.cutting.paper.interiors
    assert len(pierced.cutting.paper.interiors) > 12
    outline = Polygon(pierced.cutting.paper.exterior)
    assert outline.symmetric_difference(whole.cutting.paper).area < 1e-6 * outline.area
