"""Rules that clash, each with the one tap that takes it away for today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from clubapp.engine.outcome import Reason
from clubapp.rotation import sentences
from clubapp.rotation.actions import Order
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import Rule, evening_of, names_for
from clubapp.rotation.wishes import Wishes

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
    rules = evening_of(order.session).rules if full else ()
    if any(reason.code == "time" for reason in clash.reasons):
        return [*(WayOut(reason.text, "", ()) for reason in clash.reasons), *_all_ways(order, sent, rules)]
    return [_way_out(reason, order, sent, rules) for reason in clash.reasons]


def _all_ways(order: Order, sent: Sequence[Field], rules: Sequence[Rule]) -> list[WayOut]:
    """Where it is not known which rules clash, each of them may go."""
    wishes, found = order.wishes, []
    for kind in wishes.kinds:
        found.append(_way_out(Reason("not_alone", "", (kind,)), order, sent, rules))
    if wishes.years:
        text = _("Every child has another within %(years)g years in the group.") % {"years": wishes.years}
        found.append(WayOut(text, _("Leave out the rule on ages"), (*sent, ("dropped", "within_years"))))
    for code in (("age_gap",) if wishes.age_gap else ()) + (("guided",) if wishes.guides else ()):
        found.append(_way_out(_spoken(code, wishes), order, sent, rules))
    for rule in rules:
        if f"pair:{rule.id}" not in wishes.dropped:
            found.append(WayOut(_pair(rule, order), _("Leave it out"), (*sent, ("dropped", f"pair:{rule.id}"))))
    return found


def _spoken(code: str, wishes: Wishes) -> Reason:
    if code == "guided":
        return Reason(code, _("Every first-timer is with somebody who has come three times."), (), _("Leave it out"))
    text = _("Oldest and youngest of a group differ by at most %(years)g years.") % {"years": wishes.age_gap}
    return Reason(code, text, (), _("Leave it out"))


def _pair(rule: Rule, order: Order) -> str:
    names = names_for(order.session, set(rule.athletes))
    who = sentences.listed(sorted(names[child] for child in rule.athletes))
    text = _("%(names)s are to stay together.") if rule.together else _("%(names)s are to be kept apart.")
    return text % {"names": who}


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
