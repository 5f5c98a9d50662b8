"""What the engine says of a menu, in words: why a part is what it is, which rules clash, and the tap that helps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.engine.menu import Card, Problem, Role
from clubapp.engine.outcome import Reason
from clubapp.planning import catalogue
from clubapp.planning.library.card import Level

NAMED = 4  # activities named before "and others"


def why_words(problem: Problem, reason: Reason) -> str:
    words = {
        "kept": _("You kept it."),
        "starred": _("Starred by your club."),
        "alone": _("The only station about %(aims)s."),
        "about": _("About %(aims)s."),
        "off": _("About none of the aims: no other fits beside the rest."),
        "heat": _("Intensity: %(heat)s."),
        "alike": _("%(Heat)s, like what is done before and after."),
        "peak": _("%(Heat)s, between easier ones."),
        "rest": _("%(Heat)s: a rest between harder ones."),
        "last": _("A game for everybody at the end."),
        "copies": _("Set up %(n)s times, for %(size)s children each."),
        "lanes": _("%(size)s children in %(n)s lanes."),
        "recent": _("Played in the last two weeks."),
        "young": _("Meant for children up to %(n)s: see that the oldest have the harder form."),
    }
    return words[reason.code] % _figures(problem, reason)


def _figures(problem: Problem, reason: Reason) -> dict[str, str]:
    about, said = reason.about, {}
    if reason.code in ("alone", "about"):
        said["aims"] = _and([problem.aim(aim) for aim in about])
    elif reason.code in ("heat", "alike", "peak", "rest"):
        said["heat"] = catalogue.level_word(Level(about[0]))
        said["Heat"] = said["heat"].capitalize()
    elif about:
        said |= {"n": about[0], "size": _size(*about[1:]) if about[1:] else ""}
    return said


def _size(least: str, most: str) -> str:
    return least if least == most else _("%(least)s or %(most)s") % {"least": least, "most": most}


def _and(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


# --- what clashes ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Clash:
    """words: the rule. way: what the coach could do. tap, query: a button that takes it away, where one can."""

    words: str
    way: str
    tap: str = ""
    query: str = ""


def clashes(problem: Problem, reasons: tuple[Reason, ...], asked: QueryDict) -> Iterator[Clash]:
    """asked: what was sent, so that a tap sends the same with one thing changed."""
    for reason in reasons:
        yield Clash(_rule(problem, reason, reasons), _way(reason), *_tap(problem, reason, asked))


def _rule(problem: Problem, reason: Reason, reasons: tuple[Reason, ...]) -> str:
    ground, kind = problem.ground, reason.about[0] if reason.about else ""
    words = {
        "contacts": lambda: _("More than %(n)d landings for a child would be over a range.") % {
            "n": problem.most_contacts or 0
        },
        "adults": lambda: ngettext(
            "There is %(n)d adult for what stands at the same time.",
            "There are %(n)d adults for what stands at the same time.",
            problem.adults,
        ) % {"n": problem.adults},
        "space": lambda: _("The ground is %(wide)g by %(long)g m, a quarter of it for ways.") % {
            "wide": ground.wide_m if ground else 0, "long": ground.long_m if ground else 0,
        },
        "kit": lambda: _("The club has %(n)d %(kind)s.") % {"n": (problem.kit or {}).get(kind, 0), "kind": kind},
        "minutes": lambda: ngettext(
            "%(all)d minutes for %(n)d station and all other parts.",
            "%(all)d minutes for %(n)d stations and all other parts.",
            problem.stations,
        ) % {"all": problem.minutes, "n": problem.stations},
        "aim": lambda: _("One station at least is about %(aim)s.") % {"aim": problem.aim(kind)},
        "fresh": lambda: _fresh(problem, reasons),
        "lock": lambda: _locked(problem, int(kind), problem.by_id[reason.about[1]]),
        "cards": lambda: _no_card(problem, Role(kind)),
        "few": lambda: _("There are too few different activities for so many parts."),
        "time": lambda: _("Nothing was found in the time there was."),
    }  # fmt: skip
    return words[reason.code]()


def _fresh(problem: Problem, reasons: tuple[Reason, ...]) -> str:
    """With those that would help with the aims in the way, or in any part."""
    aims = {reason.about[0] for reason in reasons if reason.code == "aim"}
    place = problem.rounds[0]
    lately = [card for card in problem.able(place) if card.recent and (not aims or aims & set(card.aims))]
    rule = _("Nothing of the last two weeks comes again.")
    return f"{rule} {_('That leaves out: %(names)s.') % {'names': _few(lately)}}" if lately else rule


def _few(cards: Iterable[Card]) -> str:
    names = sorted(card.name for card in cards)
    return ", ".join(names[:NAMED]) + (" …" if len(names) > NAMED else "")


def _locked(problem: Problem, place: int, card: Card) -> str:
    role = problem.parts[place]
    _copies, least, most = problem.sizes(card, role)
    said = {"name": card.name, "part": _part(role), "from": card.ages[0], "youngest": problem.youngest}
    said |= {"least": card.children[0], "most": card.children[1], "n": _size(str(least), str(most))}
    said |= {"wide": f"{card.wide_m:g}", "long": f"{card.long_m:g}"}
    words = {
        "": _("%(name)s is kept where it is."),
        "role": _("%(name)s is nothing for this part: %(part)s."),
        "ages": _("%(name)s is for children from %(from)d, and the youngest is %(youngest)d."),
        "children": _("%(name)s is for %(least)d to %(most)d children; there are %(n)s."),
        "ground": _("%(name)s needs %(wide)s by %(long)s m of ground."),
    }
    return words[problem.misfit(card, role)] % said


def _part(role: Role) -> str:
    return {
        Role.WARM_UP: _("warm-up"),
        Role.STATION: _("station"),
        Role.GAME: _("game"),
        Role.COOL_DOWN: _("cool-down"),
    }[role]


def _no_card(problem: Problem, role: Role) -> str:
    each, over = divmod(problem.children, problem.stations)
    said = {"part": _part(role), "age": problem.youngest, "n": str(problem.children)}
    if role is not Role.STATION:
        return _("No activity is for %(n)s children from %(age)d years as a %(part)s.") % said
    said["n"] = _size(str(each), str(each + bool(over)))
    return _("No activity is for groups of %(n)s from %(age)d years as a %(part)s.") % said


def _way(reason: Reason) -> str:
    """What only the coach can do, or write down."""
    kind = reason.about[0] if reason.about else ""
    words = {
        "contacts": _("Leave out jumping and landing, or keep calmer activities."),
        "adults": _("Find another adult."),
        "space": _("Take a larger ground."),
        "kit": _("Find more %(kind)s.") % {"kind": kind},
        "minutes": _("Take more minutes."),
        "cards": _("Make other groups, write an activity, or change whom one is for."),
        "time": _("Ask for less, or suggest it again."),
    }
    return words.get(reason.code, "")


def _tap(problem: Problem, reason: Reason, asked: QueryDict) -> tuple[str, str]:
    """The button and its address: the same with one wish less; nothing for what no tap can change."""
    data, about = asked.copy(), reason.about
    if reason.code == "fresh":
        data["repeats"] = "on"
        return _("Let what was played come again"), data.urlencode()
    if reason.code == "aim":
        data.setlist("aims", [aim for aim in data.getlist("aims") if aim != about[0]])
        return _("Leave out %(aim)s") % {"aim": problem.aim(about[0])}, data.urlencode()
    if reason.code == "lock":
        data.setlist("keep", [place for place in data.getlist("keep") if place != about[0]])
        return _("Let %(name)s go") % {"name": problem.by_id[about[1]].name}, data.urlencode()
    if reason.code in ("adults", "space", "minutes", "few") and problem.stations > 1:
        data["stations"] = str(fewer := problem.stations - 1)
        return ngettext("Make it %(n)d station", "Make it %(n)d stations", fewer) % {"n": fewer}, data.urlencode()
    return "", ""
