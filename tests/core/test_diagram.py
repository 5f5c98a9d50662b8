"""A drawing changed tap by tap: whatever was done can be undone, and it stays a drawing all the way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clubapp.core.diagram import editing
from clubapp.core.diagram.editing import Board, Tap
from clubapp.core.diagram.reading import layout_of
from clubapp.core.reading import FileError

PLACES = st.integers(0, 24).map(lambda half: half / 2)
TAPS = st.builds(Tap, st.sampled_from(editing.TOOLS), st.tuples(PLACES, PLACES), st.sampled_from(("", "A")))
ACTS = st.one_of(TAPS, st.just("remove"), st.just("frame"), st.sampled_from(("cones-0", "paths-0", "areas-0", "kit-9")))


def done(board: Board, act: object) -> Board:
    match act:
        case Tap():
            return editing.tap(board, act)
        case "remove":
            return editing.remove(board)
        case "frame":
            return editing.reframe(board, [12, 14], {"top": 2})
    return Board(board.drawing, board.steps, (), str(act))


@given(st.lists(ACTS, max_size=25))
def test_every_step_can_be_taken_back(acts: list[object]) -> None:
    first = Board({"size": [12, 12], "cones": [{"at": [1, 1], "name": "A"}]})
    board = first
    for act in acts:
        after = done(board, act)
        try:
            layout_of(after.drawing)
        except FileError:  # outside the footprint or flat: the page says so and stays as it is
            continue
        board = after
    while board.steps or board.begun:
        board = editing.undo(board)
        layout_of(board.drawing)
    assert board.drawing == first.drawing
