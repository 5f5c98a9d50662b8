"""What higher apps hand down to people without being imported."""

from __future__ import annotations

from uuid import UUID, uuid4

from clubapp.core.registry import ImportColumn, Registry, RowNote, registry


def column(name: str) -> ImportColumn:
    return ImportColumn(
        name=name,
        aliases=("sprint",),
        check=float,
        write=lambda club, values, on: len(values),
        undo=lambda written: None,
        current=lambda ids: dict.fromkeys(ids, "6.5"),
    )


def test_a_column_is_found_by_its_heading() -> None:
    mine = Registry()
    mine.add_column(column("speed_s"))
    child = uuid4()
    assert mine.columns["speed_s"].current([child]) == {child: "6.5"}


def test_export_and_erasing_are_given_together() -> None:
    mine, erased = Registry(), list[UUID]()
    mine.add_child_data("register", export=lambda child: {"marks": 2}, erase=erased.append)
    child = uuid4()
    mine.erasers["register"](child)
    assert erased == [child]
    assert mine.exporters["register"](child) == {"marks": 2}


def test_row_notes_answer_by_child() -> None:
    mine, child = Registry(), uuid4()
    mine.add_row_notes("rotation", lambda session: {child: RowNote("here, in no group", "/plan/")})
    assert mine.row_notes["rotation"](uuid4())[child].link == "/plan/"


def test_the_house_registers_itself_when_it_starts() -> None:
    assert "speed_s" in registry.columns
    assert registry.exporters.keys() == registry.erasers.keys()
