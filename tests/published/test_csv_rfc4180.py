"""The import against RFC 4180, "Common Format and MIME Type for CSV Files", section 2, rule by rule."""

from __future__ import annotations

import pytest

from clubapp.people.csvfile import CsvError, read, write


def cells(data: bytes) -> list[list[str]]:
    table = read(data)
    return [list(table.header), *([row.cells[name] for name in table.header] for row in table.rows)]


def test_rule_1_each_record_on_its_own_line() -> None:
    assert cells(b"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]


def test_rule_2_the_last_record_may_have_no_line_break() -> None:
    assert cells(b"aaa,bbb,ccc\r\nzzz,yyy,xxx") == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]


def test_rule_3_the_first_record_holds_the_headings() -> None:
    table = read(b"field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\n")
    assert table.header == ("field_name", "field_name2", "field_name3")
    assert table.rows[0].cells == {"field_name": "aaa", "field_name2": "bbb", "field_name3": "ccc"}


def test_rule_4_every_record_has_the_same_number_of_cells_and_spaces_belong_to_them() -> None:
    assert cells(b"a,b,c\r\n aaa ,bbb,ccc\r\n")[1] == [" aaa ", "bbb", "ccc"]
    with pytest.raises(CsvError, match="Row 3 has 2 cells, the headings are 3") as caught:
        read(b"a,b,c\r\naaa,bbb,ccc\r\naaa,bbb\r\n")
    assert caught.value.row == 3


def test_rule_5_cells_may_stand_in_quotes() -> None:
    assert cells(b'"aaa","bbb","ccc"\r\nzzz,yyy,xxx')[0] == ["aaa", "bbb", "ccc"]


def test_rule_6_quoted_line_breaks_and_commas_are_part_of_the_cell() -> None:
    assert cells(b'a,b,c\r\n"aaa","b\r\nbb","c,cc"\r\nzzz,yyy,xxx')[1:] == [
        ["aaa", "b\r\nbb", "c,cc"],
        ["zzz", "yyy", "xxx"],
    ]


def test_rule_7_a_doubled_quote_is_one() -> None:
    assert cells(b'a,b,c\r\n"aaa","b""bb","ccc"')[1] == ["aaa", 'b"bb', "ccc"]


def test_what_is_written_follows_the_same_rules() -> None:
    written = write(["a", "b"], [['b"bb', "c,c"], ["two\r\nlines", "plain"]])
    assert written.removeprefix(b"\xef\xbb\xbf") == b'a,b\r\n"b""bb","c,c"\r\n"two\r\nlines",plain\r\n'
    assert cells(written) == [["a", "b"], ['b"bb', "c,c"], ["two\r\nlines", "plain"]]
