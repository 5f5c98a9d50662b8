"""The menu as integers for the solver: every rule binds only while its Boolean is true."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from clubapp.engine import cpsat
from clubapp.engine import menu_cost as cost
from clubapp.engine.cpsat import Proof, Run
from clubapp.engine.limits import Limit
from clubapp.engine.menu_problem import EASY, HARD, Answer, Problem, Role, SetUp
from clubapp.engine.menu_rules import reasons
from clubapp.engine.outcome import Reason
from clubapp.engine.whynot import smallest_clash

PROBE = Limit(deterministic=4.0)  # one test whether rules can be kept
LONGEST_MIN = 300
NO_TIME = Reason("time", "Nothing was found in the time there was.", (), "Ask for less, or suggest it again.")
TOO_FEW = Reason("few", "There are too few different activities for so many parts.", (), "Make fewer stations.")


class Model:
    """x[place][id]: this card stands there. on[r]: rule r of reasons(problem) binds."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.model, self.rules = problem, cpsat.new_model(), reasons(problem)
        self.on = [self.model.new_bool_var("") for _ in self.rules]
        self.x = [
            {card.id: self.model.new_bool_var("") for card in problem.able(place)}
            for place in range(len(problem.parts))
        ]
        self.minutes = [self.model.new_int_var(0, LONGEST_MIN, "") for _ in problem.wholes]
        self.work_s = problem.free_s - 60 * sum(self.minutes)
        self._one_card_a_part()
        self._minutes_of_a_card()
        for rule, binds in zip(self.rules, self.on, strict=True):
            self._rule(rule, binds)

    def _one_card_a_part(self) -> None:
        for places in self.x:
            self.model.add_exactly_one(places.values())
        for card in self.problem.by_id:
            self.model.add_at_most_one(places[card] for places in self.x if card in places)

    def _minutes_of_a_card(self) -> None:
        for place, minutes in zip(self.problem.wholes, self.minutes, strict=True):
            for card, stands in self.x[place].items():
                least, _usual, most = self.problem.by_id[card].minutes
                self.model.add_linear_constraint(minutes, least, most).only_enforce_if(stands)

    def _rule(self, rule: Reason, binds: Any) -> None:
        kinds: dict[str, Callable[[Reason, Any], None]] = {
            "contacts": self._few_contacts,
            "adults": self._enough_adults,
            "space": self._enough_room,
            "kit": self._enough_kit,
            "minutes": self._enough_time,
            "aim": self._covered,
            "fresh": self._fresh,
            "lock": self._locked,
        }
        kinds[rule.code](rule, binds)

    def _few_contacts(self, _rule: Reason, binds: Any) -> None:
        total = sum(self.problem.by_id[card].contacts * stands for _place, card, stands in self._all())
        self.model.add(total <= (self.problem.most_contacts or 0)).only_enforce_if(binds)

    def _enough_adults(self, _rule: Reason, binds: Any) -> None:
        self._at_once(lambda one: one.adults, self.problem.adults, binds)

    def _enough_room(self, _rule: Reason, binds: Any) -> None:
        """In hundredths of a square metre, needs rounded up."""
        assert self.problem.ground
        self._at_once(lambda one: -int(-100 * one.area_m2 // 1), int(100 * self.problem.ground.usable_m2), binds)

    def _enough_kit(self, rule: Reason, binds: Any) -> None:
        kind = rule.about[0]
        self._at_once(lambda one: one.kit.get(kind, 0), (self.problem.kit or {}).get(kind, 0), binds)

    def _at_once(self, needs: Callable[[SetUp], int], there: int, binds: Any) -> None:
        """What stands at the same time needs no more than there is."""
        for moment in (self.problem.rounds, *((place,) for place in self.problem.wholes)):
            role = self.problem.parts[moment[0]]
            costs = {card.id: needs(self.problem.set_up(card, role)) for card in self.problem.able(moment[0])}
            total = sum(costs[card] * stands for place in moment for card, stands in self.x[place].items())
            self.model.add(total <= there).only_enforce_if(binds)

    def _enough_time(self, _rule: Reason, binds: Any) -> None:
        stations = self.problem.stations
        for place in self.problem.rounds:
            for card, stands in self.x[place].items():
                least = 60 * self.problem.by_id[card].minutes[0] * stations
                self.model.add(self.work_s >= least).only_enforce_if(binds, stands)

    def _covered(self, rule: Reason, binds: Any) -> None:
        about = [
            stands
            for place in self.problem.rounds
            for card, stands in self.x[place].items()
            if rule.about[0] in self.problem.by_id[card].aims
        ]
        self.model.add_bool_or([binds.negated(), *about])

    def _fresh(self, _rule: Reason, binds: Any) -> None:
        for place, card, stands in self._all():
            if self.problem.by_id[card].recent and self.problem.locks.get(place) != card:
                self.model.add_implication(binds, stands.negated())

    def _locked(self, rule: Reason, binds: Any) -> None:
        """A card that cannot stand there at all makes a rule nobody can keep."""
        self.model.add_implication(binds, self.x[int(rule.about[0])].get(rule.about[1], binds.negated()))

    def _all(self) -> Iterable[tuple[int, str, Any]]:
        for place, cards in enumerate(self.x):
            for card, stands in cards.items():
                yield place, card, stands

    # --- what is to be least ------------------------------------------------------------------------------------------

    def minimise(self) -> None:
        parts, cards = self.problem.parts, self.problem.by_id
        single = [cost.own(self.problem, parts[place], cards[card]) * stands for place, card, stands in self._all()]
        self.model.minimize(
            sum(single)
            + self._neighbours()
            + cost.RISING * self._rising()
            + cost.UNEVEN * self._uneven()
            + cost.ODD_MINUTE * self._odd_minutes()
            + cost.STRETCH * self._stretch()
        )

    def _of_heat(self, place: int, heat: int) -> Any:
        cards = self.problem.by_id
        return sum(stands for card, stands in self.x[place].items() if cards[card].heat == heat)

    def _neighbours(self) -> Any:
        """What two neighbours of one intensity cost."""
        total = []
        for one, two in cost.ring_pairs(self.problem.rounds):
            for heat in range(EASY, HARD + 1):
                both = self.model.new_bool_var("")
                self.model.add(both >= self._of_heat(one, heat) + self._of_heat(two, heat) - 1)
                total.append((cost.BOTH_HARD if heat == HARD else cost.ALIKE) * both)
        return sum(total)

    def _rising(self) -> Any:
        heats = [
            sum(heat * self._of_heat(place, heat) for heat in range(EASY, HARD + 1)) for place in self.problem.rounds
        ]
        rising = self.model.new_int_var(0, HARD * len(heats) ** 2, "")
        self.model.add(rising >= cost.slope(heats))
        return rising

    def _uneven(self) -> Any:
        stations = self.problem.stations
        most, least = (self.model.new_int_var(0, stations, "") for _ in range(2))
        for aim in self.problem.aims:
            count = sum(self._mainly(place, aim) for place in self.problem.rounds)
            self.model.add(most >= count)
            self.model.add(least <= count)
        return most - least if self.problem.aims else 0

    def _mainly(self, place: int, aim: str) -> Any:
        return sum(stands for card, stands in self.x[place].items() if self.problem.by_id[card].aims[0] == aim)

    def _odd_minutes(self) -> Any:
        total = []
        for place, minutes in zip(self.problem.wholes, self.minutes, strict=True):
            usual = sum(self.problem.by_id[card].minutes[1] * stands for card, stands in self.x[place].items())
            odd = self.model.new_int_var(0, LONGEST_MIN, "")
            self.model.add(odd >= minutes - usual)
            self.model.add(odd >= usual - minutes)
            total.append(odd)
        return sum(total)

    def _stretch(self) -> Any:
        stretch, stations = self.model.new_int_var(0, LONGEST_MIN, ""), self.problem.stations
        for place in self.problem.rounds:
            most = sum(self.problem.by_id[card].minutes[2] * stands for card, stands in self.x[place].items())
            self.model.add(60 * stations * (most + stretch) >= self.work_s)
        return stretch

    # --- in and out ---------------------------------------------------------------------------------------------------

    def begin_with(self, start: Answer) -> None:
        hints = [(stands, int(start.cards[place] == card)) for place, card, stands in self._all()]
        cpsat.hint(self.model, [*hints, *zip(self.minutes, start.minutes, strict=True)])

    def answer(self, run: Run) -> Answer:
        cards = tuple(next(card for card, stands in place.items() if run.true(stands)) for place in self.x)
        return Answer(cards, tuple(run.value(minutes) for minutes in self.minutes))


def best(problem: Problem, limit: Limit, seed: int, start: Answer | None) -> tuple[Answer, Run] | None:
    """The least that is found within the limit, with the run that knows how good it is."""
    made = Model(problem)
    for binds in made.on:
        made.model.add(binds == 1)
    made.minimise()
    if start:
        made.begin_with(start)
    run = cpsat.run(made.model, limit, seed)
    return (made.answer(run), run) if run.found else None


def any_menu(problem: Problem, seed: int) -> Answer | None:
    """The first that keeps every rule, whatever it costs; None where there is none, or no time to find one."""
    made = Model(problem)
    for binds in made.on:
        made.model.add(binds == 1)
    run = cpsat.run(made.model, PROBE, seed)
    return made.answer(run) if run.found else None


def clash(problem: Problem, seed: int) -> tuple[Reason, ...]:
    """A smallest set of rules that cannot be kept together; none where there is an answer, or no time to tell.

    Each card comes once: where there are too few of them no rule is to blame.
    """
    made = Model(problem)
    run = cpsat.run(made.model, PROBE, seed, assume=made.on)
    if run.proof is not Proof.NONE:
        return ()
    every = range(len(made.rules))
    rules = smallest_clash(run.core or every, lambda kept: _clashes(problem, kept, seed), every)
    return tuple(made.rules[at] for at in rules) or (TOO_FEW,)


def _clashes(problem: Problem, kept: frozenset[int], seed: int) -> bool:
    made = Model(problem)
    for at, binds in enumerate(made.on):
        made.model.add(binds == (1 if at in kept else 0))
    return cpsat.run(made.model, PROBE, seed).proof is Proof.NONE


def no_card(problem: Problem) -> tuple[Reason, ...]:
    """Parts that no card at all can be, once each."""
    few = dict.fromkeys(role for place, role in enumerate(problem.parts) if not problem.able(place))
    return tuple(_nothing_for(problem, role) for role in few)


def _nothing_for(problem: Problem, role: Role) -> Reason:
    least, most = problem.children // problem.stations, -(-problem.children // problem.stations)
    size = f"{least}" if least == most else f"{least} or {most}"
    children = f"groups of {size}" if role is Role.STATION else f"{problem.children} children"
    text = f"No activity is for {children} from {problem.youngest} years as a {role}."
    way_out = "Make fewer or more stations." if role is Role.STATION else "Write one, or change whom one is for."
    return Reason("cards", text, (role,), way_out)
