"""No command writes over a file that it reads, by whatever name, and each says both names and what to do."""

import pytest

DRAWING = (
    '<svg width="60mm" height="60mm" viewBox="0 0 60 60">'
    '<path fill-rule="evenodd" d="M0 0H60V60H0zM20 20H40V40H20z"/></svg>'
)
DESIGN = 'title = "Heron"\nsize = ["60x90 mm", "80x120 mm"]\n'
FIGURE = '[[silhouette]]\nfile = "{file}"\nwidth = "40%"\nanchor = "foot"\n'
SERIES = '[series]\nlist = "{list}"\n'
NAMES = "name\nAna\nBert\n"


@pytest.fixture
def kept(run, here):
    """Run a command that is to be refused, and see that each file is as it was."""

    def check(*args, files):
        paths = {here(name, text): text for name, text in files.items()}
        result = run(*args)
        assert result.exit_code == 1, result.output
        assert "never written over" in result.stderr
        assert all(path.read_text() == text for path, text in paths.items())
        return paths

    return check


COMMANDS = {
    "join": ("join", "w.svg", "-o", "w.svg"),
    "check": ("check", "w.svg", "--marked", "w.svg"),
    "fold": ("fold", "medallion", "--figure", "w.svg", "-o", "w.svg"),
    "fold, its packet": ("fold", "medallion", "--figure", "w.svg", "-o", "o.svg", "--packet", "w.svg"),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_a_drawing_is_not_written_over_by_what_is_made_of_it(kept, name):
    kept(*COMMANDS[name], files={"w.svg": DRAWING})


def test_another_way_to_the_same_file_is_the_same_file(kept, tmp_path):
    (tmp_path / "here").symlink_to(tmp_path)
    kept("join", "w.svg", "-o", "here/w.svg", files={"w.svg": DRAWING})


def test_a_plan_is_not_written_over_its_log(kept):
    log = "date,drawing,minutes,blades\n2026-01-02,w.svg,60,1\n"
    kept("plan", "w.svg", "--log", "log.json", "-o", "log.json", files={"w.svg": DRAWING, "log.json": log})


@pytest.mark.parametrize("drawing", ["heron-60x90mm.svg", "heron-80x120mm.svg"])
def test_a_silhouette_called_like_a_plate_stays_and_nothing_else_is_written(kept, tmp_path, drawing):
    files = {"heron.toml": DESIGN + FIGURE.format(file=drawing), drawing: DRAWING}
    kept("make", "heron.toml", files=files)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(files)


@pytest.mark.parametrize("name", ["manifest.csv", "pages/list.csv"])
def test_a_list_is_not_written_over(run, here, tmp_path, name):
    (tmp_path / "pages").mkdir()
    here(name, NAMES)
    here("heron.toml", 'title = "Ex libris {name}"\nsize = "60x90 mm"\n' + SERIES.format(list=name))
    result = run("make", "heron.toml", "--workers", 1)
    assert (tmp_path / name).read_text() == NAMES
    assert result.exit_code == (1 if name == "manifest.csv" else 0)
    assert ("never written over" in result.stderr) == (name == "manifest.csv")


def test_a_silhouette_called_like_a_plate_of_the_series_stays(kept):
    design = 'title = "Ex libris {name}"\nsize = "60x90 mm"\n' + SERIES.format(list="n.csv")
    files = {
        "heron.toml": design + FIGURE.format(file="0002-bert.svg"),
        "n.csv": NAMES,
        "0002-bert.svg": DRAWING,
    }
    kept("make", "heron.toml", "--workers", 1, files=files)


def test_a_marked_check_of_a_design_spares_what_the_design_reads(kept):
    files = {"heron.toml": DESIGN + FIGURE.format(file="m-80x120mm.svg"), "m-80x120mm.svg": DRAWING}
    kept("check", "heron.toml", "--marked", "m.svg", files=files)


def test_a_size_that_cannot_be_made_is_named_and_the_others_are_there(run, here, tmp_path):
    border = 'border = {motif = "scallop", band = "9 mm"}\n'
    here("heron.toml", 'title = "Heron"\nsize = ["20x30 mm", "60x90 mm"]\n' + border)
    result = run("make", "heron.toml")
    assert result.exit_code == 1
    assert "1 of 2 sizes could not be made, the others are there: heron-20x30mm." in result.stderr
    assert (tmp_path / "heron-60x90mm.svg").is_file()
