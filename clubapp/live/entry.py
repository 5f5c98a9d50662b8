"""Writing down a whole list on one test: who is on it and in what order, today's values, and what would be asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import UUID, uuid4

from django.http import Http404
from django.urls import reverse
from django.utils.translation import gettext as _

from clubapp.live.access import Watcher
from clubapp.people.access import is_head_coach
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register.models import Mark
from clubapp.register.queries import HERE_KINDS, expected
from clubapp.results import bridge, catalogue, measures, queries
from clubapp.results.bridge import Span
from clubapp.results.catalogue import Listed
from clubapp.results.models import Result
from clubapp.results.queries import Run
from clubapp.rotation.evening import names_for

LANE = "lane_"
MOST_LANES = 99


@dataclass(frozen=True)
class Line:
    """One child of the list. next: the attempt that is written down now."""

    id: UUID
    name: str
    lane: int | None
    runs: tuple[Run, ...]
    op_id: UUID

    @property
    def next(self) -> int:
        return max((run.attempt for run in self.runs), default=0) + 1

    @property
    def best(self) -> Run | None:
        return queries.best(self.runs) if len(self.runs) > 1 else None


@dataclass(frozen=True)
class Sheet:
    """A session and a test before an adult with an account."""

    watcher: Watcher
    test: Listed
    lanes: Mapping[UUID, int]

    @property
    def session(self) -> Session:
        return self.watcher.session

    @property
    def children(self) -> set[UUID]:
        return set(self._athletes)

    @cached_property
    def _athletes(self) -> dict[UUID, Athlete]:
        """Who was here, also if gone meanwhile: a list is often written down at the end."""
        marks = Mark.objects.filter(session=self.session, kind__in=HERE_KINDS)
        return {row.pk: row for row in expected(self.session).filter(pk__in=marks.values("athlete"))}

    @cached_property
    def lines(self) -> list[Line]:
        """Lanes first, then by name; never by what they reached."""
        names = names_for(self.session, self.children)
        runs: dict[UUID, list[Run]] = {child: [] for child in self._athletes}
        for run in queries.runs_on(self._athletes, self.session.date):
            if run.trial.code == self.test.code:
                runs[run.athlete_id].append(run)
        lines = [
            Line(child, names[child], self.lanes.get(child), tuple(sorted(own, key=_attempt)), uuid4())
            for child, own in runs.items()
        ]
        return sorted(lines, key=lambda line: (line.lane or MOST_LANES + 1, line.name.casefold(), str(line.id)))

    @cached_property
    def spans(self) -> Mapping[UUID, Span]:
        """What each child is likely to reach; empty before anybody has a result on the test."""
        if not self.test.is_stored:
            return {}
        return bridge.spans(self.test.row, self._athletes, self.session.date)

    @cached_property
    def sees_spans(self) -> bool:
        """What is predicted of a child is the head coach's alone, also where somebody else leads."""
        return self.watcher.user is not None and is_head_coach(self.watcher.user, self.session.club_id)

    def question(self, child: UUID, value: int) -> str:
        """What to ask about a value that looks impossible, or ""."""
        row, span = self.test.row, self.spans.get(child)
        far = span is not None and not span.least <= value <= span.most
        out = (row.least and value < row.least) or (row.most and value > row.most)
        if not far and not out:
            return ""
        said = {"value": self._said(value), "test": self.test.distance or self.test.name}
        if span is not None and self.sees_spans:
            said |= {"low": measures.plain_text(span.low, row.unit), "high": measures.plain_text(span.high, row.unit)}
            return _("%(value)s for %(test)s? Typical for this child %(low)s to %(high)s.") % said
        if out and self.test.span:
            said |= {"low": self.test.span[0], "high": self.test.span[1]}
            return _("%(value)s for %(test)s? Children reach %(low)s to %(high)s.") % said
        return _("%(value)s for %(test)s? Far from what this child reached before.") % said

    def _said(self, value: int) -> str:
        return f"{measures.plain(value, self.test.row.unit)} {self.test.row.unit}"

    def for_phone(self) -> dict[str, Any]:
        """What the script asks about by itself, without a network. Spans go to the head coach's phone alone."""
        row, spans = self.test.row, self.spans if self.sees_spans else {}
        limits = {
            str(child): [span.least, span.most, measures.plain_text(span.low, row.unit),
                         measures.plain_text(span.high, row.unit)]
            for child, span in spans.items()
        }  # fmt: skip
        return {
            "url": reverse("live:value", args=[self.session.pk, self.test.code]),
            "trial": self.test.code,
            "unit": row.unit,
            "about": self.test.distance or self.test.name,
            "least": row.least,
            "most": row.most,
            "range": self.test.span,
            "spans": limits,
        }


def _attempt(run: Run) -> Any:
    return run.attempt, run.at


def sheet_of(watcher: Watcher, code: str, asked: Mapping[str, str]) -> Sheet:
    """For an adult with an account; to a helper there is no such page, and no test that was put away. Or 404."""
    if watcher.user is None:
        raise Http404
    return Sheet(watcher, catalogue.find(catalogue.offered(watcher.session.club), code), lanes_in(asked))


def lanes_in(asked: Mapping[str, str]) -> dict[UUID, int]:
    """lane_<child>=<number> as a page or a heat's list puts it into the address; what is none is passed over."""
    found: dict[UUID, int] = {}
    for name, text in asked.items():
        if name.startswith(LANE) and text.isascii() and text.isdigit() and 1 <= int(text[:4]) <= MOST_LANES:
            try:
                found[UUID(name.removeprefix(LANE))] = int(text[:4])
            except ValueError:
                continue
    return found


def is_to_come(session: Session) -> bool:
    return session.date > session.club.today()


def run_for(sheet: Sheet, result_id: UUID) -> Result:
    """A value of today's list, as it stands now, or 404."""
    for line in sheet.lines:
        for run in line.runs:
            found = next((row for row in run.rows if row.pk == result_id), None)
            if found is not None:
                return found
    raise Http404


@dataclass(frozen=True)
class Said:
    """A row of the ledger, and its value as it would be typed."""

    row: Result
    typed: str


def history(row: Result) -> list[Said]:
    """What it said before, the first first, and what it says now."""
    rows = [row]
    while (older := rows[0].replaces) is not None:
        rows.insert(0, older)
    return [Said(one, measures.plain(one.value_ms, one.trial.unit)) for one in rows]


def words() -> dict[str, str]:
    """Every sentence the script says; %s stands for what it fills in."""
    return {
        "typical": _("%s for %s? Typical for this child %s to %s."),
        "range": _("%s for %s? Children reach %s to %s."),
        "again": _("Press Next once more to keep it as it is."),
        "no_value": _("This is no value. Write a number, such as %s."),
        "waiting": _("kept here, not sent yet"),
        "corrects": _("corrects %s"),
        "not_kept": _("This phone could not keep it. Write it on paper."),
        "done": _("That was the last of the list."),
        "kept": _("%s: %s"),
    }


def tests_for(session: Session) -> Iterable[Listed]:
    return catalogue.offered(session.club)
