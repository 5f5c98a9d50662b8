"""What was tapped of a chasing game, and how far it has got."""

from __future__ import annotations

from django.utils import timezone

from clubapp.games.state import GameView, Said

TOUCH, BACK = "touch", "untouch"


def touches(view: GameView) -> list[Said]:
    """Every touch that was not taken back."""
    back = {one.data["of"] for one in view.entries(BACK)}
    return [one for one in view.entries(TOUCH) if str(one.op_id) not in back]


def turns_in(view: GameView) -> int:
    """All parts of the field change at the same signal; one may be done before the other."""
    return max(len(field["spells"]) for field in view.draw.answer["fields"])


def begun(view: GameView) -> int:
    """So many turns have begun, by the clock since the start: a bell that stood still only makes it fewer."""
    if view.state == "over":
        return turns_in(view)
    start = next(iter([*view.entries("begin"), *view.said]), None)
    if start is None:
        return 0
    problem = view.draw.problem
    passed = (timezone.now() - start.at).total_seconds()
    return max(1, min(turns_in(view), 1 + int(passed // (problem["spell_s"] + problem["rest_s"]))))
