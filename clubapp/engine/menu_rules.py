"""The rules of a menu one by one, and which of them an answer breaks; no solver knows these lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from clubapp.engine.menu_problem import Answer, Card, Problem, Role, SetUp, work_s
from clubapp.engine.outcome import Reason


def reasons(problem: Problem) -> tuple[Reason, ...]:
    """Every rule that can be taken away, those a coach gives up first at the end."""
    return (
        *_contact_reasons(problem),
        *_place_reasons(problem),
        *_kit_reasons(problem),
        *_time_reasons(problem),
        *_aim_reasons(problem),
        *_fresh_reasons(problem),
        *_lock_reasons(problem),
    )


def _contact_reasons(problem: Problem) -> Iterator[Reason]:
    if problem.most_contacts is not None:
        text = f"A child's feet land {problem.most_contacts} times at most in this session."
        yield Reason("contacts", text, (), "Ask for less jumping, or keep calmer activities.")


def _place_reasons(problem: Problem) -> Iterator[Reason]:
    adults = f"There are {problem.adults} adults for what stands at the same time."
    yield Reason("adults", adults, (), "Find another adult, or make fewer stations.")
    if problem.ground:
        ground = f"The ground is {problem.ground.wide_m:g} by {problem.ground.long_m:g} m, a quarter of it for ways."
        yield Reason("space", ground, (), "Take a larger ground, or make fewer stations.")


def _kit_reasons(problem: Problem) -> Iterator[Reason]:
    kinds = {kind for card in problem.cards for kind in (*card.kit, *card.kit_shared)}
    for kind in sorted(kinds) if problem.kit is not None else ():
        owned = problem.kit.get(kind, 0) if problem.kit else 0
        yield Reason("kit", f"The club has {owned} {kind}.", (kind,), f"Find more {kind}.")


def _time_reasons(problem: Problem) -> Iterator[Reason]:
    stations = "1 station" if problem.stations == 1 else f"{problem.stations} stations"
    text = f"{problem.minutes} minutes for {stations} and all other parts."
    yield Reason("minutes", text, (), "Take more minutes, or make fewer stations.")


def _aim_reasons(problem: Problem) -> Iterator[Reason]:
    for aim in problem.aims:
        name = problem.aim(aim)
        yield Reason("aim", f"One station at least is about {name}.", (aim,), f"Leave out {name}.")


def _fresh_reasons(problem: Problem) -> Iterator[Reason]:
    if not problem.repeats:
        text = "Nothing of the last two weeks comes again."
        yield Reason("fresh", text, (), "Let what was played come again.")


def _lock_reasons(problem: Problem) -> Iterator[Reason]:
    for place, card_id in sorted(problem.locks.items()):
        card = problem.by_id[card_id]
        text = problem.unfit(card, problem.parts[place]) or f"{card.name} is kept where it is."
        yield Reason("lock", text, (str(place), card_id), f"Let {card.name} go.")


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with a menu, in words; empty when it keeps everything."""
    wrong = _misshapen(problem, answer)
    if wrong:
        return [wrong]
    broken = [rule.text for rule in reasons(problem) if not KEPT[rule.code](problem, answer, rule)]
    return [*_unfit(problem, answer), *broken]


def _misshapen(problem: Problem, answer: Answer) -> str:
    known = all(card in problem.by_id for card in answer.cards)
    if not known or len(answer.cards) != len(problem.parts) or len(answer.minutes) != len(problem.wholes):
        return "It has not one known activity for each part."
    return ""


def _unfit(problem: Problem, answer: Answer) -> Iterator[str]:
    for role, card in zip(problem.parts, chosen(problem, answer), strict=True):
        if unfit := problem.unfit(card, role):
            yield unfit
    yield from (f"{problem.by_id[card].name} comes twice." for card, n in Counter(answer.cards).items() if n > 1)
    for place, minutes in zip(problem.wholes, answer.minutes, strict=True):
        card = problem.by_id[answer.cards[place]]
        if not card.minutes[0] <= minutes <= card.minutes[2]:
            yield f"{card.name} is for {card.minutes[0]} to {card.minutes[2]} minutes."


def chosen(problem: Problem, answer: Answer) -> tuple[Card, ...]:
    return tuple(problem.by_id[card] for card in answer.cards)


def moments(problem: Problem, answer: Answer) -> list[list[SetUp]]:
    """What stands at the same time: the stations together, every other part alone."""
    stands = [problem.set_up(card, role) for role, card in zip(problem.parts, chosen(problem, answer), strict=True)]
    rotation = [set_up for set_up, role in zip(stands, problem.parts, strict=True) if role is Role.STATION]
    return [rotation, *([stands[place]] for place in problem.wholes)]


def _few_contacts(problem: Problem, answer: Answer, _rule: Reason) -> bool:
    return sum(card.contacts for card in chosen(problem, answer)) <= (problem.most_contacts or 0)


def _enough_adults(problem: Problem, answer: Answer, _rule: Reason) -> bool:
    return all(sum(one.adults for one in moment) <= problem.adults for moment in moments(problem, answer))


def _enough_room(problem: Problem, answer: Answer, _rule: Reason) -> bool:
    assert problem.ground
    usable = problem.ground.usable_m2
    return all(sum(one.area_m2 for one in moment) <= usable for moment in moments(problem, answer))


def _enough_kit(problem: Problem, answer: Answer, rule: Reason) -> bool:
    kind, owned = rule.about[0], (problem.kit or {}).get(rule.about[0], 0)
    return all(sum(one.kit.get(kind, 0) for one in moment) <= owned for moment in moments(problem, answer))


def _enough_time(problem: Problem, answer: Answer, _rule: Reason) -> bool:
    least = max(problem.by_id[answer.cards[place]].minutes[0] for place in problem.rounds)
    return work_s(problem, answer) >= 60 * least * problem.stations


def _covered(problem: Problem, answer: Answer, rule: Reason) -> bool:
    return any(rule.about[0] in problem.by_id[answer.cards[place]].aims for place in problem.rounds)


def _fresh(problem: Problem, answer: Answer, _rule: Reason) -> bool:
    cards = enumerate(chosen(problem, answer))
    return not any(card.recent and problem.locks.get(place) != card.id for place, card in cards)


def _locked(problem: Problem, answer: Answer, rule: Reason) -> bool:
    return answer.cards[int(rule.about[0])] == rule.about[1]


KEPT: dict[str, Callable[[Problem, Answer, Reason], bool]] = {
    "contacts": _few_contacts,
    "adults": _enough_adults,
    "space": _enough_room,
    "kit": _enough_kit,
    "minutes": _enough_time,
    "aim": _covered,
    "fresh": _fresh,
    "lock": _locked,
}
