"""What is entered on the field: a game begun and ended, and whatever its kind lets one say."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.likely import test_of
from clubapp.games.models import Entry, Game
from clubapp.games.state import GameView, Kind, Said, Timed
from clubapp.games.trouble import RefusedError
from clubapp.people.models import Athlete
from clubapp.register.actions import Tap
from clubapp.register.actions.taps import known, moment, wait_turn, written
from clubapp.results import actions as results
from clubapp.results.models import Result

BEGIN, END, ON = "begin", "end", "on"
State = Game.State
Answer = dict[str, Any]
# What each word asks of the game and makes of it.
STEPS = {BEGIN: (State.READY, State.RUNNING), END: (State.RUNNING, State.OVER), ON: (State.OVER, State.RUNNING)}


@dataclass(frozen=True)
class Saying:
    """What was tapped. part: the heat, team or fixture, from 1; 0 = the whole game."""

    what: str
    round: int = 1
    part: int = 0
    data: dict[str, Any] = field(default_factory=dict)


@transaction.atomic
def enter(*, game: Game, saying: Saying, tap: Tap) -> Answer:
    """Keep what was said and answer with it; the same tap sent again gets the same answer.

    Raises:
        RefusedError: why it cannot be taken.
        OtherTapError: the op_id was used for something else.
    """
    wait_turn(game.session_id)
    row = known(Entry, tap, game_id=game.pk, what=saying.what, round=saying.round, part=saying.part)
    if row is not None:
        return dict(row.answer)
    game.refresh_from_db(fields=["state", "began_at", "ended_at"])
    view, kind = queries.view_of(game), known_kind(game.kind)
    said = _checked(view, kind, saying, (tap, game.ended_at))
    at = moment(tap, Entry.objects.filter(game=game))
    _step(game, said.what, at)
    _keep_times(game, view, kind, (said, tap))
    return _kept(game, replace(said, at=at), tap)


def _checked(view: GameView, kind: Kind, saying: Saying, come: tuple[Tap, datetime | None]) -> Said:
    """What was tapped while the game was on counts, however late it comes."""
    tap, ended_at = come
    by = tap.by.pk if tap.by else None
    said = Said(saying.what, saying.round, saying.part, saying.data, by, "", timezone.now(), tap.op_id)
    if saying.what in STEPS:
        return said
    in_time = ended_at is not None and tap.tapped_at is not None and tap.tapped_at <= ended_at
    if view.state not in (State.READY, State.RUNNING) and not in_time:
        raise RefusedError(_("This game is over. Whoever runs the session can let it go on."))
    return replace(said, data=kind.take(view, said))


def _step(game: Game, what: str, at: datetime) -> None:
    """Begun, ended or going on again; whatever else is entered begins a game nobody has begun.

    A game two phones began without a network began at the earlier tap.
    """
    before, after = STEPS.get(what, (None, State.RUNNING))
    again = what == BEGIN and game.state == State.RUNNING
    if before is not None and game.state != before and not again:
        raise RefusedError(_("That was done already: look again."))
    if before is None and game.state == State.OVER:
        return
    changed: dict[str, Any] = {"state": after, "ended_at": timezone.now() if after == State.OVER else None}
    if after == State.RUNNING and (again or game.began_at is None):
        changed["began_at"] = max(game.made_at, min(at, game.began_at or at))
    Game.objects.filter(pk=game.pk).update(**changed)


def _kept(game: Game, said: Said, tap: Tap) -> Answer:
    answer = {"game": str(game.pk), "what": said.what, "part": said.part, "version": tell(game.session_id, "games")}
    columns = {"round": said.round, "part": said.part, "what": said.what, "data": dict(said.data)}
    Entry.objects.create(game=game, tapped_at=said.at, answer=answer, **columns, **written(tap))
    return answer


# Times that were typed go into the ledger, once each


def _keep_times(game: Game, view: GameView, kind: Kind, entry: tuple[Said, Tap]) -> None:
    said, tap = entry
    if kind.times is None or said.what in STEPS:
        return
    earlier = view.entries(said.what, said.round, said.part)
    before = {one.athlete: one for one in kind.times(view, earlier[-1])} if earlier else {}
    now = {one.athlete: one for one in kind.times(view, said)}
    for child, timed in now.items():
        if before.get(child) != timed:
            _record(game, timed, _replaced(earlier, child), tap)
    for child in before.keys() - now.keys():
        _record(game, before[child], _replaced(earlier, child), tap, state=Result.State.VOID)


def _replaced(earlier: list[Said], child: UUID) -> UUID | None:
    """The op_id of the result that an earlier entry of this part wrote for the child."""
    ops = [_op(one.op_id, child) for one in reversed(earlier)]
    known = set(Result.objects.filter(op_id__in=ops).values_list("op_id", flat=True))
    return next((op for op in ops if op in known), None)


def _op(entry: UUID, child: UUID) -> UUID:
    return uuid.uuid5(entry, str(child))


def _record(game: Game, timed: Timed, replaces: UUID | None, tap: Tap, state: str = Result.State.COUNTS) -> None:
    test = test_of(game.session.club, timed.test)
    child = Athlete.objects.filter(pk=timed.athlete).first()
    if test is None or child is None or (state == Result.State.VOID and replaces is None):
        return
    trial = results.ensure_trial(club=game.session.club, test=test)
    reading = results.Reading(trial, child, timed.ms, state=state, replaces=replaces)
    sent = results.Sent(tap.by, _op(tap.op_id, timed.athlete), tap.device, tap.tapped_at, tap.base_version)
    try:
        results.record_result(reading=reading, sent=sent)
    except results.RefusedError as error:
        raise RefusedError(str(error)) from error
