"""Rules that clash, each with the one tap that takes it away for today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from clubapp.engine.outcome import Reason
from clubapp.rotation import sentences
from clubapp.rotation.actions import Order
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import Rule, evening_of

Field = tuple[str, str]


@dataclass(frozen=True)
class WayOut:
    """One rule of the clash. fields: what the button sends; empty where only words can help."""

    text: str
    button: str
    fields: tuple[Field, ...]


def ways_out(clash: Clash, order: Order, sent: Sequence[Field], *, full: bool) -> list[WayOut]:
    """sent: the settings as they were asked, to be sent again with one thing changed.

    A pair rule is the head coach's: whoever else leads the session is told of it, but cannot drop it.
    """
    rules = evening_of(order.session).rules
    return [_way_out(reason, order, sent, () if reason.code in sentences.SECRET and not full else rules)
            for reason in clash.reasons]  # fmt: skip


def _way_out(reason: Reason, order: Order, sent: Sequence[Field], rules: Sequence[Rule]) -> WayOut:
    full = reason.code not in sentences.SECRET or bool(rules)
    text = sentences.rule(reason, full=full)
    if token := sentences.token_of(reason, rules):
        return WayOut(text, sentences.way_out(reason), (*sent, ("dropped", token)))
    if reason.code == "rounds" and order.wishes.rounds > 1:
        fewer = int(reason.about[0]) if reason.about else order.wishes.rounds - 1
        return WayOut(text, _("Make it %(n)d rounds") % {"n": fewer}, _with(sent, "rounds", str(fewer)))
    if reason.code == "minutes" and order.wishes.work_s:
        return WayOut(text, _("Fit the seconds to the minutes"), _with(_with(sent, "work_s", ""), "change_s", ""))
    return WayOut(text, "", ())


def _with(sent: Sequence[Field], name: str, value: str) -> tuple[Field, ...]:
    return (*(field for field in sent if field[0] != name), (name, value))
