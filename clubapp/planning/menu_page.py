"""A suggestion as its page shows it: parts in their order with reasons, how good it is, and what clashes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta

from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.engine import load as engine_load
from clubapp.engine import menu
from clubapp.engine.outcome import Outcome, Status
from clubapp.planning import bridge, catalogue, menu_words
from clubapp.planning.actions import Chosen, Whole
from clubapp.planning.catalogue import Listed
from clubapp.planning.expected import Expected, of_card
from clubapp.planning.landings import sentences
from clubapp.planning.library.waiting import wait_in
from clubapp.planning.menu_form import Sent
from clubapp.planning.menu_words import why_words
from clubapp.planning.models import Block, Session


@dataclass(frozen=True)
class Suggestion:
    """answer: None where nothing fits; outcome: None where a menu was only changed by hand."""

    session: Session
    problem: menu.Problem
    answer: menu.Answer | None
    outcome: Outcome[menu.Answer] | None
    kept: frozenset[int]
    listed: dict[str, Listed]
    stuck: bool = False  # nothing else fits where another was asked for


def suggest(session: Session, ask: bridge.Ask, sent: Sent) -> Suggestion:
    """Another card at one place, the menu as it was sent, or a new one round what is kept."""
    problem = bridge.problem_of(session, replace(ask, locks=sent.locks))
    listed = {one.code: one for one in catalogue.offered(session.club)}
    stood = sent.answer(problem)
    if stood and not sent.again:
        place = sent.swap if sent.swap in range(len(problem.parts)) else None
        swapped = None if place is None else menu.next_best(problem, stood, place)
        kept = sent.kept - {sent.swap} if swapped else sent.kept
        stuck = swapped is None and sent.swap is not None
        return Suggestion(session, problem, swapped or stood, None, frozenset(kept), listed, stuck)
    problem = replace(problem, shown=frozenset(sent.cards if sent.again else ()))
    outcome = menu.solve(problem)
    return Suggestion(session, problem, outcome.answer, outcome, frozenset(problem.locks), listed)


@dataclass(frozen=True)
class PartView:
    """place: None for gathering, water and the rotation's head."""

    kind: str
    minutes: int
    clock: str
    place: int | None = None
    number: int | None = None
    one: Listed | None = None
    why: tuple[str, ...] = ()
    kept: bool = False


def parts(shown: Suggestion) -> list[PartView]:
    """The evening from gathering to cool-down."""
    assert shown.answer
    rows, at = [], shown.session.starts_at
    for whole in wholes(shown):
        place = shown.problem.parts.index(menu.Role(whole.kind)) if whole.code else None
        rows.append(_view(shown, whole, f"{at:%H:%M}", place))
        if whole.kind == Block.Kind.ROTATION:
            rows += [_station(shown, place) for place in shown.problem.rounds]
        at += timedelta(minutes=whole.minutes or _rotation_min(shown))
    return rows


def _view(shown: Suggestion, whole: Whole, clock: str, place: int | None) -> PartView:
    minutes = whole.minutes or _rotation_min(shown)
    if place is None or not shown.answer:
        return PartView(whole.kind, minutes, clock)
    why = _why(shown, place)
    one = shown.listed[whole.code]
    return PartView(whole.kind, minutes, clock, place, one=one, why=why, kept=place in shown.kept)


def _station(shown: Suggestion, place: int) -> PartView:
    assert shown.answer
    one = shown.listed[shown.answer.cards[place]]
    why = (*_why(shown, place), _waiting(shown, one))
    return PartView("station", 0, "", place, place, one, why, place in shown.kept)


def _why(shown: Suggestion, place: int) -> tuple[str, ...]:
    assert shown.answer
    return tuple(why_words(shown.problem, reason) for reason in menu.why(shown.problem, shown.answer, place))


def _waiting(shown: Suggestion, one: Listed) -> str:
    """The queue check, for the fullest group."""
    most = -(-shown.problem.children // shown.problem.stations)
    lanes = shown.problem.by_id[one.code].lanes_for(most)
    return catalogue.wait_words(one.card, wait_in(one.card, -(-most // lanes)))


def _rotation_min(shown: Suggestion) -> int:
    assert shown.answer
    changes = shown.problem.change_s * (shown.problem.stations - 1)
    return (menu.work_s(shown.problem, shown.answer) + changes) // 60


def turn_words(shown: Suggestion) -> str:
    assert shown.answer
    seconds = menu.work_s(shown.problem, shown.answer) // shown.problem.stations // 5 * 5
    said = ngettext("%(n)d turn of %(turn)s", "%(n)d turns of %(turn)s, a minute to move", shown.problem.stations)
    return said % {"n": shown.problem.stations, "turn": f"{seconds // 60}:{seconds % 60:02}"}


def wholes(shown: Suggestion) -> list[Whole]:
    """The session's parts; the rotation takes the minutes that are left."""
    assert shown.answer
    by_role = {}
    for place, minutes in zip(shown.problem.wholes, shown.answer.minutes, strict=True):
        role, code = shown.problem.parts[place], shown.answer.cards[place]
        by_role[role] = Whole(bridge.KINDS[role], minutes, code, shown.problem.by_id[code].name)
    return [
        Whole(Block.Kind.GATHER, bridge.GATHER_MIN),
        by_role[menu.Role.WARM_UP],
        Whole(Block.Kind.ROTATION),
        Whole(Block.Kind.WATER, bridge.WATER_MIN),
        by_role[menu.Role.GAME],
        by_role[menu.Role.COOL_DOWN],
    ]


def chosen(shown: Suggestion) -> list[Chosen]:
    """The stations, each with the kit its groups need."""
    assert shown.answer
    cards = [shown.problem.by_id[shown.answer.cards[place]] for place in shown.problem.rounds]
    kits = [shown.problem.set_up(card, menu.Role.STATION).kit for card in cards]
    return [Chosen(c.id, shown.listed[c.id].card, kit) for c, kit in zip(cards, kits, strict=True)]


def how_good(shown: Suggestion) -> str:
    """One sentence."""
    if shown.outcome is None:
        return _("Changed by you. Every rule is kept.") if not shown.stuck else _("Nothing else fits there.")
    if shown.outcome.status is Status.BEST:
        return _("No other choice of these activities fits your wishes better.")
    return _("A choice that keeps every rule; a better one was not looked for to the end.")


def unheld(shown: Suggestion) -> list[str]:
    """What nobody wrote down, so that nothing was held against it."""
    said = []
    if shown.problem.kit is None:
        said.append(_("Nobody wrote down what the club owns: kit was not looked at."))
    if shown.problem.ground is None:
        said.append(_("The size of the ground is not written down: room was not looked at."))
    return said


def clashes(shown: Suggestion, asked: QueryDict) -> list[menu_words.Clash]:
    """asked: what was sent."""
    return list(menu_words.clashes(shown.problem, shown.outcome.reasons, asked)) if shown.outcome else []


# --- load ------------------------------------------------------------------------------------------------------------


def load_notes(shown: Suggestion, expected: Expected) -> Iterable[tuple[str, bool]]:
    """Sentences, and whether it is over; nothing where nothing is near."""
    assert shown.answer
    turn = menu.work_s(shown.problem, shown.answer) // shown.problem.stations // 60
    by_place = dict(zip(shown.problem.wholes, shown.answer.minutes, strict=True))
    cards = [shown.listed[code].card for code in shown.answer.cards]
    planned = engine_load.total(of_card(card, by_place.get(place, turn)) for place, card in enumerate(cards))
    return sentences(expected, planned, shown.session)
