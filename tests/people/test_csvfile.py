"""Files as coaches have them: other alphabets, other delimiters, broken ones."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.people.csvfile import CsvError, defused, read, undefused, write

TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "windows-1252", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_reads_every_encoding_and_delimiter(encoding: str, delimiter: str) -> None:
    table = read(f"name{delimiter}note\r\nZoë{delimiter}naïve\r\n".encode(encoding))
    assert table.delimiter == delimiter
    assert table.rows[0].cells == {"name": "Zoë", "note": "naïve"}


def test_numbers_rows_as_a_spreadsheet_does() -> None:
    table = read(b'\r\nname,note\r\n\r\nAda,"two\r\nlines"\r\n,\r\nBo,x\r\n')
    assert [row.number for row in table.rows] == [4, 6]


@pytest.mark.parametrize("ending", ["\r\n", "\n", "\r"])
def test_takes_every_line_ending(ending: str) -> None:
    assert len(read(ending.join(["name,x", "Ada,1", "Bo,2"]).encode()).rows) == 2


def test_quoted_delimiters_in_the_headings_do_not_mislead() -> None:
    assert read(b'"a,b,c";d\r\n1;2\r\n').header == ("a,b,c", "d")


def test_a_single_column_is_a_table() -> None:
    assert read(b"name\r\nAda\r\n").rows[0].cells == {"name": "Ada"}


def test_an_empty_last_column_is_dropped() -> None:
    assert read(b"name,\r\nAda,\r\n").header == ("name",)


@pytest.mark.parametrize(
    ("data", "sentence", "row"),
    [
        (b"", "The file is empty", None),
        (b" \r\n,,\r\n", "The file is empty", None),
        (b"name\r\nA\0da\r\n", "bytes that are no text", None),
        (b"name\r\n\x81\r\n", "letters in the file cannot be read", None),
        (b"name,name\r\n", "Row 1: two columns are called “name”", 1),
        (b"name,Name\r\n", "Row 1: two columns are called “Name”", 1),
        (b"name,\r\nAda,x\r\n", "Row 2: cell 2 stands in a column without a heading", 2),
        (b'name,x\r\nAda,1\r\n"Bo,2\r\n', "Row 3: a quotation mark", 3),
        (b'name,x\r\n"A"da,1\r\n', "Row 2: a quotation mark", 2),
        (b"name,x\r\nAda,1,2\r\n", "Row 2 has 3 cells, the headings are 2", 2),
        (b"name\r\n" + b"A" * 200_000 + b"\r\n", "Row 2: a cell is too long", 2),
        (b"name\r\n" + b"Ada\r\n" * 20_001, "more than 20000 rows", None),
        (b"a" * (5 * 1024 * 1024 + 1), "larger than 5 MB", None),
    ],
)
def test_says_what_is_wrong_and_where(data: bytes, sentence: str, row: int | None) -> None:
    with pytest.raises(CsvError, match=sentence) as caught:
        read(data)
    assert caught.value.row == row


@given(TEXT)
def test_defusing_is_undone_exactly(text: str) -> None:
    assert undefused(defused(text)) == text
    assert defused(text)[:1] not in ("=", "+", "-", "@", "\t", "\r")


@given(st.lists(st.tuples(TEXT, TEXT), max_size=6))
def test_what_is_written_reads_back(rows: list[tuple[str, str]]) -> None:
    kept = [row for row in rows if any(cell.strip() for cell in row)]
    table = read(write(["first", "second"], rows))
    assert [(row.cells["first"], row.cells["second"]) for row in table.rows] == kept


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused_with_a_sentence(data: bytes) -> None:
    with suppress(CsvError):  # anything else that is raised fails the test
        table = read(data)
        assert all(set(row.cells) == set(table.header) for row in table.rows)
