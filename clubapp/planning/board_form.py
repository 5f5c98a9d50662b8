"""A drawing at work as its page sends it: what is drawn so far, its steps and one button."""

from __future__ import annotations

import json
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from clubapp.core.diagram import editing, words
from clubapp.core.diagram.editing import LISTS, PICK, Board, Step
from clubapp.core.diagram.reading import FARTHEST, LARGEST, LEAST, NAME, layout_of
from clubapp.core.diagram.shapes import Gait, Side, What, Who
from clubapp.core.reading import FileError

MOST_LETTERS = 60_000
SIDES = {Side.TOP: _("Free beyond the top"), Side.RIGHT: _("Free beyond the right"),
         Side.BOTTOM: _("Free beyond the bottom"), Side.LEFT: _("Free beyond the left")}  # fmt: skip


def tool_words() -> list[tuple[str, str]]:
    """Every tool with its word, in the order of the page."""
    known = {
        PICK: _now("choose or move"), "cone": _now("cone"), "line": _now("line"), "area": _now("marked part"),
        "length": _now("length"),
    }  # fmt: skip
    known |= {str(who): words.who_word(who) for who in Who}
    known |= {str(what): words.what_word(what) for what in What}
    known |= {str(way): words.gait_word(way).split(",")[0] for way in editing.WAYS}
    known[str(Gait.FLIGHT)] = _now("the ball's way")
    return [(tool, known[tool]) for tool in editing.TOOLS]


class BoardForm(forms.Form):
    """x, y in metres from the lower left corner; a tap fills them in, a keyboard can as well."""

    tool = forms.ChoiceField(label=_("What to draw"), choices=tool_words, widget=forms.RadioSelect, initial="cone")
    x = forms.FloatField(label=_("Metres to the right"), min_value=0, max_value=LARGEST, required=False)
    y = forms.FloatField(label=_("Metres up"), min_value=0, max_value=LARGEST, required=False)
    label = forms.CharField(label=_("Its name, if it needs one"), max_length=NAME, required=False)
    wide = forms.FloatField(label=_("Metres across"), min_value=LEAST, max_value=LARGEST, required=False)
    long = forms.FloatField(label=_("Metres up the drawing"), min_value=LEAST, max_value=LARGEST, required=False)

    def __init__(self, data: Any = None, *, board: Board, tool: str = "cone") -> None:
        wide, long = board.drawing["size"]
        free = board.drawing.get("run_out", {})
        super().__init__(data, initial={"tool": tool, "wide": wide, "long": long, **free})
        self.board = board
        for name in ("x", "y", "wide", "long"):
            self.fields[name].widget.attrs |= {"step": "0.1", "inputmode": "decimal"}
        for side, label in SIDES.items():
            self.fields[str(side)] = forms.FloatField(label=label, min_value=0, max_value=FARTHEST, required=False)

    @property
    def frame(self) -> list[forms.BoundField]:
        """Footprint and run-outs."""
        return [self[name] for name in ("wide", "long", *map(str, SIDES))]

    def changed(self, do: str) -> Board:
        """The board after one button; only after `is_valid`.

        Raises:
            FileError: what came of it is no drawing: the words say why.
            ValueError: something is missing, with a sentence.
        """
        after = self._after(do)
        layout_of(after.drawing)
        return after

    def _after(self, do: str) -> Board:
        said = self.cleaned_data
        match do:
            case "put":
                if said["x"] is None or said["y"] is None:
                    raise ValueError(_now("Tap on the drawing, or write how far to the right and how far up."))
                at = round(said["x"], 2), round(said["y"], 2)
                return editing.tap(self.board, editing.Tap(said["tool"], at, said["label"].strip()))
            case "remove":
                return editing.remove(self.board)
            case "undo":
                return editing.undo(self.board)
            case "frame":
                size = [said["wide"] or 0, said["long"] or 0]
                return editing.reframe(self.board, size, {side: said[side] for side in map(str, SIDES) if said[side]})
            case _:
                return self.board


def board_of(sent: Any, kept: dict[str, Any]) -> Board:
    """The board a page sent; whatever of it cannot be read falls back to what is kept."""
    drawing = _json(sent.get("drawing"))
    try:
        layout_of(drawing)
    except FileError:
        return Board(kept)
    chosen = sent.get("chosen", "")
    return Board(
        drawing, _steps(sent.get("steps")), _begun(sent.get("begun")), chosen if isinstance(chosen, str) else ""
    )


def _json(text: object) -> Any:
    try:
        return json.loads(text) if isinstance(text, str) and len(text) <= MOST_LETTERS else None
    except (ValueError, RecursionError):
        return None


def _steps(text: object) -> tuple[Step, ...]:
    rows = _json(text)
    if not isinstance(rows, list):
        return ()
    return tuple((row[0], row[1], row[2], row[3]) for row in rows if _is_step(row))


def _is_step(row: object) -> bool:
    if not isinstance(row, list) or len(row) != 4 or row[0] not in (*LISTS, editing.FRAME):
        return False
    rests = row[2:] if row[0] != editing.FRAME else [part or 0 for part in row[2:]]
    return isinstance(row[1], int) and all(part is None or isinstance(part, dict) for part in rests)


def rows_of(drawing: dict[str, Any]) -> list[tuple[str, str]]:
    """Everything drawn, by its place in the lists and in words: for choosing it without tapping on it."""
    found = []
    for name in LISTS:
        for place, row in enumerate(drawing.get(name, [])):
            x, y = next(editing.points_of(row))
            said = {"what": _word(name, row), "x": f"{x:g}", "y": f"{y:g}"}
            found.append((f"{name}-{place}", _now("%(what)s, %(x)s right, %(y)s up") % said))
    return found


def _word(name: str, row: dict[str, Any]) -> str:
    kinds = {"cones": "cone", "lines": "line", "areas": "area", "lengths": "length"}
    kind = kinds.get(name) or row.get("who") or row.get("what") or row.get("how", "")
    default = {"people": Who.CHILD, "paths": Gait.RUN}.get(name, "")
    word = dict(tool_words())[str(kind or default)]
    return f"{word} {row['name']}" if row.get("name") else word


def _begun(text: object) -> tuple[editing.Spot, ...]:
    points = _json(text)
    if not isinstance(points, list) or len(points) != 1 or not isinstance(points[0], list) or len(points[0]) != 2:
        return ()
    x, y = points[0]
    fits = all(isinstance(value, int | float) and 0 <= value <= LARGEST for value in (x, y))
    return ((float(x), float(y)),) if fits else ()
