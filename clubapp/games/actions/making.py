"""Games made, drawn further and made to suit who comes and goes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.metadata import version as release
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.crypto import get_random_string
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.models import Draw, Game
from clubapp.games.present import Present, present_of
from clubapp.games.state import GameView, Kind, Made, Task
from clubapp.games.trouble import RefusedError
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.register.actions.taps import wait_turn

SEEDS = 2**31


@dataclass(frozen=True)
class Order:
    """Who asks for a game, of whom and how. children: who is in, as an adult said. seed: None draws one."""

    session: Session
    by: User
    kind: Kind
    children: frozenset[UUID]
    wishes: Mapping[str, Any]
    seed: int | None = None


def make_game(*, order: Order) -> Game:
    """A game that is ready to start. Solved before the transaction, so that nobody's tap waits for it."""
    present = present_of(order.session)
    task = _task(present, order.children, order.wishes, order.seed)
    if len(task.children) < order.kind.least:
        raise RefusedError(_("This game needs at least %(n)d children: tick who is in.") % {"n": order.kind.least})
    made = order.kind.make(task)
    return _kept(order, task, made)


def _task(present: Present, children: frozenset[UUID], wishes: Mapping[str, Any], seed: int | None) -> Task:
    """Only children who are here and may take part; whoever left since the page was shown is not drawn."""
    chosen = tuple(child for child in present.ids if child in children & present.able)
    return Task(present, chosen, wishes, seed_of(seed))


def seed_of(seed: int | None) -> int:
    """The one asked for, or one by lot."""
    return (seed if seed is not None else int(get_random_string(9, "0123456789"))) % SEEDS


@transaction.atomic
def _kept(order: Order, task: Task, made: Made) -> Game:
    wait_turn(order.session.pk)
    number = 1 + (Game.objects.filter(session=order.session).aggregate(n=Max("number"))["n"] or 0)
    game = Game.objects.create(
        session=order.session, number=number, kind=order.kind.code, wishes=dict(order.wishes), by=order.by
    )
    _draw(game, 1, (task, made), order.by, "made")
    return game


def _draw(game: Game, round_no: int, drawn: tuple[Task, Made], by: User | None, why: str) -> Draw:
    """Store a draw of a round and tell every phone. From whom it is made goes into the problem."""
    task, made = drawn
    version = 1 + (Draw.objects.filter(game=game).aggregate(n=Max("version"))["n"] or 0)
    row = Draw.objects.create(
        game=game,
        round=round_no,
        version=version,
        problem={"children": [str(child) for child in task.children], **made.problem},
        answer=made.answer,
        proof=made.proof,
        seed=task.seed,
        engine=release("fieldbell"),
        why=why,
        by=by,
    )
    tell(game.session_id, "games")
    return row


def draw_next(*, game: Game, by: User, seed: int | None = None) -> Draw:
    """The next round, from what was entered in this one."""
    kind, view = known_kind(game.kind), _open(game)
    if kind.next is None:
        raise RefusedError(_("This game has one round."))
    task = Task(present_of(game.session, view.children), view.draw.children, game.wishes, seed_of(seed))
    made = kind.next(view, task)
    return _changed(game, view, (_of(task, made), made), by, ("next", view.draw.round + 1))


def fit_in(*, game: Game, athlete_id: UUID, by: User) -> Draw:
    """One more child in the draw that is on; as few others move as can be."""
    view, present = _open(game), present_of(game.session)
    if athlete_id not in present.able:
        raise RefusedError(_("That child is not marked here, or only watches: see to the register first."))
    if athlete_id in view.draw.children:
        raise RefusedError(_("That child is in the game already."))
    kind = known_kind(game.kind)
    return _redrawn(game, view, frozenset({*view.draw.children, athlete_id}), by, ("late", kind.fit, athlete_id))


def take_out(*, game: Game, athlete_id: UUID, by: User | None) -> Draw:
    """Without a child, who has left or does not want to; nobody else moves. by: None where two records became one."""
    view, kind = _open(game), known_kind(game.kind)
    if athlete_id not in view.draw.children:
        raise RefusedError(_("That child is not in the game."))
    if kind.out is None or len(view.draw.children) <= kind.least:
        raise RefusedError(_("This game cannot do without that child: make a new one."))
    return _redrawn(game, view, frozenset(view.draw.children) - {athlete_id}, by, ("out", kind.out, athlete_id))


def _redrawn(
    game: Game,
    view: GameView,
    children: frozenset[UUID],
    by: User | None,
    change: tuple[str, Callable[[GameView, Task, UUID], Made], UUID],
) -> Draw:
    why, make, child = change
    present = present_of(game.session, children)
    listed = tuple(sorted(children, key=lambda one: (present.name(one).casefold(), str(one))))
    task = Task(present, listed, game.wishes, view.draw.seed)
    return _changed(game, view, (task, make(view, task, child)), by, (why, view.draw.round))


def _of(task: Task, made: Made) -> Task:
    """A next round may hold fewer children: it says which."""
    if "children" not in made.problem:
        return task
    return Task(task.present, tuple(UUID(child) for child in made.problem["children"]), task.wishes, task.seed)


@transaction.atomic
def _changed(game: Game, view: GameView, drawn: tuple[Task, Made], by: User | None, change: tuple[str, int]) -> Draw:
    """Store it, unless somebody drew or entered something meanwhile that it does not know of."""
    wait_turn(game.session_id)
    now = queries.view_of(Game.objects.get(pk=game.pk))
    if now != view:
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    why, round_no = change
    return _draw(game, round_no, drawn, by, why)


def _open(game: Game) -> GameView:
    if game.state in (Game.State.OVER, Game.State.DROPPED):
        raise RefusedError(_("This game is over: make a new one."))
    return queries.view_of(game)


@transaction.atomic
def drop_game(*, game: Game, by: User) -> None:
    """Take a game away that was a mistake; what was entered stays stored, and times stay in the ledger."""
    Game.objects.filter(pk=game.pk).update(state=Game.State.DROPPED, by=by)
    tell(game.session_id, "games")
