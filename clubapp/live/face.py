"""The scoreboard as it stands when the page is sent, so that a phone shows it before any script is there.

The twin of static/js/live/face.js and scene.js, less the figures: those wait for the phone's clock.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from clubapp.engine import clock
from clubapp.engine.clock import Phase
from clubapp.live import sentences

FIELDS = {"work": "work", "game": "work", "warm-up": "work", "change": "move", "water": "water", "over": "over"}


@dataclass(frozen=True)
class Face:
    """field: names the colours. scene: children stand here, are still to come, or are done. turn: the round shown.

    figures: whether there will be any.
    """

    field: str
    word: str
    round: str
    scene: str
    turn: int
    figures: bool


def face_of(state: clock.State, seen: clock.View) -> Face:
    rounds = [part.round for part in state.schedule.segments if part.kind == "work"]
    ahead = next((part.round for part in state.schedule.segments[seen.index :] if part.kind == "work"), None)
    runs = seen.phase is Phase.RUNNING
    number = seen.round if seen.kind == "work" else ahead
    words = {Phase.WAITING: _("READY"), Phase.PAUSED: _("PAUSED"), Phase.ENDED: _("ENDED")}
    return Face(
        field=FIELDS.get(seen.kind, "still") if runs else str(seen.phase.value),
        word=sentences.part(seen.kind) if runs else words.get(seen.phase, ""),
        round="" if seen.phase is Phase.ENDED or not number else _("round %s of %s") % (number, len(rounds)),
        scene="work" if seen.kind == "work" else "after" if ahead is None else "before",
        turn=ahead or len(rounds),
        figures=seen.phase is Phase.STOPPED or (seen.phase not in (Phase.WAITING, Phase.ENDED) and seen.kind != "over"),
    )
