import pytest

from canivet.compose.design.rows import Row, columns_in, fill_text, read_rows
from canivet.errors import BadValue, Unreadable


@pytest.fixture
def write(tmp_path):
    def put(data):
        path = tmp_path / "names.csv"
        path.write_bytes(data if isinstance(data, bytes) else data.encode())
        return path

    return put


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_list_is_read_whatever_parts_its_cells(write, mark):
    rows = read_rows(write(f"name{mark}year\r\nAna Muñoz{mark}2026\r\n\r\nJürgen Groß{mark}\r\n"))
    assert rows == [
        Row(2, {"name": "Ana Muñoz", "year": "2026"}),
        Row(4, {"name": "Jürgen Groß", "year": ""}),
    ]


def test_a_quoted_cell_may_hold_commas_and_a_byte_order_mark_is_no_letter(write):
    (row,) = read_rows(write('\ufeffname,year\n"Groß, J.",1\n'))
    assert row.cells == {"name": "Groß, J.", "year": "1"}


@pytest.mark.parametrize(
    ("data", "kind", "said"),
    [
        ("", Unreadable, "has no heading"),
        ("name,year\n", Unreadable, "no rows under it"),
        ("name,\nA,1", BadValue, "column 2 has no name"),
        ("name,name\nA,1", BadValue, "names 'name' twice"),
        ("name,year\nA,1,2", BadValue, "row 2: 3 cells under 2 headings"),
        (b"name\nJ\xfcrgen", Unreadable, "is not UTF-8 at line 2"),
        ("name\nAna".encode("utf-16"), Unreadable, "is UTF-16"),
        ("name\nAna\nGroß".encode("utf-16-le"), Unreadable, "is UTF-16"),
        ('name,year\nAna,1\n"Zoë,2\nJürgen,3\n', Unreadable, "line 3: a quote .* is opened and not closed"),
        ('name,year\nAna,1\n"Zoë,2', Unreadable, "line 3: a quote"),
        ('name\n"Ana\nMuñoz"\n', Unreadable, "line 2: .* a name cannot run over two lines"),
        ('name\n"Ana" Muñoz\n', Unreadable, "line 2: something stands between the end of a cell in quotes"),
        ("name,year\nA,1\nB\n", BadValue, "row 3: 1 cell under 2 headings, so column 'year' is missing"),
        ("a,b,c\nA,1\nB\nC,1,2,3\n", BadValue, "row 2: 2 cells .*\n.*row 3: 1 cell .*\n.*row 4: 4 cells"),
        (",".join(map(str, range(20_000))) + "\n1", Unreadable, "20000 columns; at most 200 are read"),
        ("n\n" + "A\n" * 100_001, Unreadable, "100001 rows; at most 100000"),
    ],
)
def test_a_list_that_cannot_be_used_says_why(write, data, kind, said):
    with pytest.raises(kind, match=said):
        read_rows(write(data))


def test_a_missing_list_is_unreadable(tmp_path):
    with pytest.raises(Unreadable, match="is not there"):
        read_rows(tmp_path / "none.csv")
    with pytest.raises(Unreadable, match="is a folder"):
        read_rows(tmp_path)
    (tmp_path / "names.csv").write_text("name\nAna")
    with pytest.raises(Unreadable, match=r"Did you mean 'names\.csv'"):
        read_rows(tmp_path / "nmaes.csv")


def test_places_are_filled_from_the_row():
    row = Row(3, {"name": " Ana  Muñoz", "no": "3/25"})
    assert columns_in("{name} { no }") == ["name", "no"]
    assert fill_text("Ex libris {name}, {no}", row) == "Ex libris Ana Muñoz, 3/25"
    with pytest.raises(BadValue, match=r"asks for \{nmae\}.*Did you mean 'name'"):
        fill_text("{nmae}", row)
    with pytest.raises(BadValue, match="row 3, column 'name'"):
        fill_text("{name}", Row(3, {"name": "a\x07"}))
