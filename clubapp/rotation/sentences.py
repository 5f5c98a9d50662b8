"""Numbers and rules in a coach's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.engine.fairness import AttributeFairness, Fairness
from clubapp.engine.outcome import Reason
from clubapp.rotation.effects import Moved, Weighed
from clubapp.rotation.evening import Evening, Rule
from clubapp.rotation.queries import PlanView
from clubapp.rotation.wishes import EVEN, LIKE, Wishes

DAYS_IN_A_MONTH = 30.44
MOST_NAMED = 5
SECRET = ("together", "apart")  # rules that only the head coach may read


def fairness(report: Fairness, *, full: bool, mode: str = EVEN) -> str:
    """How far apart the group means are; without skill for a leader who is not the head coach.

    In what nobody differs no group can: it is left out.
    """
    shown = [spread(row) for row in report.attributes if row.sd and (full or row.name != "skill")]
    if not shown:
        return ""
    if mode == LIKE:
        return _("Like with like: groups differ by %(spreads)s.") % {"spreads": listed(shown)}
    return _("Groups differ by %(spreads)s.") % {"spreads": listed(shown)}


def spread(row: AttributeFairness) -> str:
    """One attribute's spread with its unit and what it is of."""
    if row.name == "age":
        return _("%(span)s in age") % {"span": span(row.spread)}
    if row.name == "skill":
        return _("%(points).1f in skill") % {"points": row.spread}
    return _("%(seconds).2f s in speed") % {"seconds": row.spread}


def span(days: float) -> str:
    """Days as a coach says them."""
    months = days / DAYS_IN_A_MONTH
    if months < 1:
        return ngettext("%(n)d day", "%(n)d days", round(days)) % {"n": round(days)}
    return _("one month") if round(months, 1) == 1 else _("%(n).1f months") % {"n": months}


def proof_of(plan: PlanView, weighed: Weighed) -> Mapping[str, Any]:
    """What was proven of the groups as made; nothing once somebody was moved, came or left."""
    proof: Mapping[str, Any] = plan.proof.get("groups", {})
    return proof if abs(proof.get("score", -1.0) - weighed.score) <= 1e-9 else {"status": "", "score": 0.0}


def is_best(plan: PlanView, weighed: Weighed) -> bool:
    return bool(proof_of(plan, weighed)["status"] == "BEST")


def best(plan: PlanView, weighed: Weighed) -> str:
    """How near to the best the groups are known to be."""
    proof, report, like = proof_of(plan, weighed), weighed.fairness, plan.wishes.mode == LIKE
    if proof["status"] == "BEST":
        return _("No groups more alike inside keep the rules.") if like else _("No fairer ones keep the rules.")
    if proof["status"] != "GOOD" or not proof["score"]:
        return ""
    if len(report.attributes) == 1 and not like:
        row = report.attributes[0]
        least = AttributeFairness(row.name, proof["bound"] * row.sd / (row.weight or 1), row.sd, row.unit, row.weight)
        return _("Best possible at least %(spread)s.") % {"spread": spread(least)}
    share = round(100 * (1 - proof["bound"] / proof["score"]))
    if like:
        return _("The best possible would be at most %(share)d %% more alike inside.") % {"share": max(share, 1)}
    return _("The fairest possible would differ by at most %(share)d %% less.") % {"share": max(share, 1)}


def filled_in(report: Fairness, names: Mapping[UUID, str], *, full: bool) -> list[str]:
    """Whose values were filled in, attribute by attribute."""
    texts = {
        "speed_s": _("%(names)s: no speed result yet, counted like others of the same age."),
        "skill": _("%(names)s: no skill estimate yet, counted like others of the same age."),
        "age": _("%(names)s: no date of birth yet, counted at the average age."),
    }
    rows = [(name, ids) for name, ids in report.gaps if full or name != "skill"]
    return [texts[name] % {"names": _few([names.get(UUID(one), "") for one in ids])} for name, ids in rows]


def _few(names: Sequence[str]) -> str:
    """The names while they are few enough to be read, else how many they are."""
    if len(names) <= MOST_NAMED:
        return listed(names)
    return ngettext("%(n)d child", "%(n)d children", len(names)) % {"n": len(names)}


def figures(plan: PlanView, weighed: Weighed, *, full: bool) -> list[tuple[str, str]]:
    """Label and number for whoever asks why."""
    rows = [(spread(row), _("%(part).2f of a standard deviation") % {"part": row.part})
            for row in weighed.fairness.attributes if full or row.name != "skill"]  # fmt: skip
    if not full:
        return rows
    like = _("Ability left to differ inside the groups (0 is perfect)")
    rows.append(
        (like if plan.wishes.mode == LIKE else _("Fairness, all together (0 is perfect)"), f"{weighed.score:.5f}")
    )
    proof = plan.proof.get("groups", {})
    if proof.get("status") in ("BEST", "GOOD"):
        rows.append((_("Best possible when these groups were made"), f"{proof['bound']:.5f}"))
    return rows


def moved(name: str, change: Moved, bibs: Sequence[str]) -> str:
    now = bibs[change.now] if change.now is not None else ""
    if change.was is None:
        return _("%(name)s is now in %(bib)s.") % {"name": name, "bib": now}
    return _("%(name)s moved from %(was)s to %(now)s.") % {"name": name, "was": bibs[change.was], "now": now}


def before_after(change: Moved, *, full: bool) -> list[tuple[str, str, str]]:
    """What is balanced, its spread before and after, each in its own unit."""
    return [
        (label(after.name), *_pair(amount(before), amount(after)))
        for before, after in zip(change.before.fairness.attributes, change.after.fairness.attributes, strict=True)
        if full or after.name != "skill"
    ]


def _pair(before: str, after: str) -> tuple[str, str]:
    """Two amounts; a unit they share is said once."""
    unit = after.rpartition(" ")[2]
    return before.removesuffix(f" {unit}"), after


def label(name: str) -> str:
    return {"speed_s": _("speed"), "age": _("age"), "skill": _("skill")}.get(name, name)


def amount(row: AttributeFairness) -> str:
    if row.name == "age":
        return span(row.spread)
    return _("%(n).1f points") % {"n": row.spread} if row.name == "skill" else _("%(n).2f s") % {"n": row.spread}


def listed(words: Sequence[str]) -> str:
    """ "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def kind(name: str, *, plural: bool = False) -> str:
    one = {"first_timer:yes": _("first-timer"), "sex:f": _("girl"), "sex:m": _("boy")}
    many = {"first_timer:yes": _("first-timers"), "sex:f": _("girls"), "sex:m": _("boys")}
    return (many if plural else one).get(name, name)


def rule(reason: Reason, *, full: bool) -> str:
    """A rule as the page says it. Whoever may not know a pair rule learns only that there is one."""
    if reason.code in SECRET and not full:
        return _("A rule of the head coach on who is with whom.")
    if reason.code == "not_alone":
        return _("No group has exactly one %(kind)s.") % {"kind": kind(reason.about[0])}
    return reason.text


def way_out(reason: Reason) -> str:
    if reason.code == "not_alone":
        return _("Let a %(kind)s be the only one") % {"kind": kind(reason.about[0])}
    return reason.way_out.rstrip(".")


def token_of(reason: Reason, rules: Iterable[Rule]) -> str:
    """What to write into `Wishes.dropped` so that this rule does not count today; "" if there is nothing to drop."""
    if reason.code in SECRET:
        same = (r for r in rules if {str(child) for child in r.athletes} == set(reason.about))
        return next((f"pair:{r.id}" for r in same if r.together == (reason.code == "together")), "")
    about = reason.about[0] if reason.about else ""
    named = {"not_alone": "not_alone", "within_years": "within", "lock": "lock", "groups_min": "alone"}
    if reason.code in named:
        return f"{named[reason.code]}:{about}"
    return reason.code if reason.code in ("size", "rest", "age_gap", "guided", "hard_run", "staffed") else ""


def minutes(seconds: int) -> str:
    """ "5 min", "4 min 30 s", "45 s"."""
    whole, rest = divmod(seconds, 60)
    texts = [_("%(n)d min") % {"n": whole}] if whole else []
    return " ".join([*texts, _("%(n)d s") % {"n": rest}] if rest or not whole else texts)


def arithmetic(plan: PlanView, evening: Evening) -> str:
    """How rounds and change-overs fill the minutes there are."""
    work = [entry.seconds for entry in plan.timetable if entry.kind == "work"]
    change = [entry.seconds for entry in plan.timetable if entry.kind == "change"]
    used, there = sum(work) + sum(change), evening.minutes * 60
    sums = [_times(len(work), work), *([_times(len(change), change)] if change else [])]
    text = _("%(sums)s = %(used)s of %(there)s.") % {
        "sums": " + ".join(sums), "used": minutes(used), "there": minutes(there),
    }  # fmt: skip
    spare = there - used
    return f"{text} {_('%(spare)s to spare.') % {'spare': minutes(spare)}}" if spare > 0 else text


def _times(count: int, seconds: Sequence[int]) -> str:
    low, high = min(seconds), max(seconds)
    each = minutes(low) if low == high else _("%(low)s to %(high)s") % {"low": minutes(low), "high": minutes(high)}
    return f"{count} × {each}"


def trade(plan: PlanView) -> str:
    """Both ends, where few hard stations in a row cost walking: the way of all groups together."""
    ends = plan.proof.get("rotation", {}).get("ends")
    if not ends:
        return ""
    (run, metres), (free_run, free_metres) = ends
    text = ngettext(
        "With at most one hard station in a row the groups walk %(metres)d m in all; "
        "without that rule %(free)d m, with %(more)d hard ones in a row.",
        "With at most %(run)d hard stations in a row the groups walk %(metres)d m in all; "
        "without that rule %(free)d m, with %(more)d hard ones in a row.",
        run,
    )
    return text % {"run": run, "metres": round(metres), "free": round(free_metres), "more": free_run}


def asked(wishes: Wishes) -> str:
    """The settings in one line, so that they need not be opened to be known."""
    groups = ngettext("%(n)d group", "%(n)d groups", wishes.groups) % {"n": wishes.groups}
    rounds = ngettext("%(n)d round", "%(n)d rounds", wishes.rounds) % {"n": wishes.rounds}
    even = [label(name) for name in wishes.balance]
    alike = _("like with like in %(names)s") if wishes.mode == LIKE else _("even in %(names)s")
    parts = [groups, rounds, alike % {"names": listed(even)} if even else ""]
    parts.append(_("first-timers guided") if wishes.guides else "")
    parts += [_("no lone %(kind)s") % {"kind": kind(name)} for name in wishes.kinds]
    parts.append(_("ages within %(years)g years") % {"years": wishes.years} if wishes.years else "")
    parts.append(
        _("at most %(years)g years from oldest to youngest") % {"years": wishes.age_gap} if wishes.age_gap else ""
    )
    parts.append(_("new company") if wishes.new_company else "")
    parts += _asked_of_stations(wishes)
    return ", ".join(part for part in parts if part)


def _asked_of_stations(wishes: Wishes) -> Iterator[str]:
    if wishes.most_hard:
        text = ngettext("no two hard stations in a row", "at most %(n)d hard stations in a row", wishes.most_hard)
        yield text % {"n": wishes.most_hard}
    if wishes.staffed:
        text = ngettext("an adult stays at one station", "adults stay at %(n)d stations", wishes.staffed)
        yield text % {"n": wishes.staffed}
    if wishes.succession:
        yield _("stations in balanced succession")


def owed(pairs: Iterable[tuple[UUID, UUID]], stations: Mapping[UUID, str], names: Mapping[UUID, str]) -> Iterator[str]:
    """Children and the stations they miss, by station: "Frog jumps: Ada and Bo"."""
    missing: dict[UUID, list[str]] = {}
    for child, station in pairs:
        missing.setdefault(station, []).append(names.get(child, ""))
    for station, who in missing.items():
        if station in stations:
            yield f"{stations[station]}: {listed(sorted(who, key=str.casefold))}"
