"""What is said of a line of results, in a coach's words and in a family's."""

from __future__ import annotations

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from clubapp.engine.progress import LEAST_DAYS, LEAST_FREEDOM, Verdict, detectable_change
from clubapp.results.models import Result, Trial
from clubapp.results.progress import Line, Point, verdict_for_family

VERDICTS = {
    Verdict.BETTER: gettext_lazy("better, and more than chance"),
    Verdict.WORSE: gettext_lazy("worse, and more than chance"),
    Verdict.UNCLEAR: gettext_lazy("no clear change"),
    Verdict.TOO_FEW: gettext_lazy("not enough tests yet"),
}
FAMILY_VERDICTS = VERDICTS | {Verdict.UNCLEAR: gettext_lazy("up and down, as results are")}


def value(thousandths: float, trial: Trial) -> str:
    """A mean with its unit: 7.42 s, 1.84 m, 184 cm."""
    if trial.unit == Trial.Unit.CENTIMETRES:
        return f"{thousandths / 10:.0f} cm"
    return f"{thousandths / 1000:.2f} {trial.unit}"


def span(thousandths: float, trial: Trial) -> str:
    """A difference with its unit, finer than a value."""
    if trial.unit == Trial.Unit.CENTIMETRES:
        return f"{abs(thousandths) / 10:.1f} cm"
    return f"{abs(thousandths) / 1000:.2f} {trial.unit}"


def verdict(line: Line) -> str:
    return str(VERDICTS[line.said.verdict])


def family_verdict(line: Line) -> str:
    return str(FAMILY_VERDICTS[verdict_for_family(line.said)])


def changed(change: float, trial: Trial) -> str:
    """ "0.31 s quicker", of the change as the ledger counts it."""
    words = _direction(trial, more=change > 0)
    return words % {"span": span(change, trial)} if change else _("the same")


def _direction(trial: Trial, *, more: bool) -> str:
    if not trial.is_timed:
        return _("%(span)s farther") if more else _("%(span)s shorter")
    if trial.less_is_better:
        return _("%(span)s slower") if more else _("%(span)s quicker")
    return _("%(span)s longer") if more else _("%(span)s shorter")


def why(line: Line) -> str:
    """The figures behind the verdict, in one sentence."""
    said = line.said
    if said.change is None or said.detectable is None:
        return _missing(line)
    told = {
        "changed": changed(said.change, line.trial),
        "day": day(line.alike[0]),
        "chance": span(said.detectable, line.trial),
    }
    if abs(said.change) > said.detectable and said.verdict is Verdict.UNCLEAR:
        return _("%(changed)s than on %(day)s: more than chance, but too little to matter.") % told
    if not said.change:
        return _("The same as on %(day)s.") % told
    return _("%(changed)s than on %(day)s. Chance alone seldom makes more than %(chance)s.") % told


def _missing(line: Line) -> str:
    days = len(line.alike)
    if days < LEAST_DAYS:
        least = _("It takes %(least)d days, timed the same way on the same ground.") % {"least": LEAST_DAYS}
        return least + " " + ngettext("So far there is %(n)d.", "So far there are %(n)d.", days) % {"n": days}
    return _(
        "How far chance goes is not known yet: at least %(least)d children have to be tested on the same two days."
    ) % {"least": LEAST_FREEDOM + 1}


def family_why(line: Line) -> str:
    """Of getting better the figures; else nothing that could be read as a mark."""
    said, shown = line.said, verdict_for_family(line.said)
    if shown is Verdict.BETTER and said.change is not None:
        told = {"changed": changed(said.change, line.trial), "day": day(line.alike[0])}
        return _("%(changed)s than on %(day)s.") % told
    if shown is Verdict.TOO_FEW:
        return _("Something can be said after a few more tests.")
    return _("From day to day results change with sleep, growing, ground and wind.")


def day(point: Point) -> str:
    return date_format(point.on, "j M Y")


def taken(point: Point) -> str:
    """How it was timed and on what ground, as far as that was written down."""
    row = point.runs[0].rows[0]
    timing = row.get_timing_display() if row.timing and row.trial.is_timed else ""
    ground = row.get_surface_display() if row.surface != Result.Surface.UNKNOWN else ""
    return ", ".join(word for word in (timing, ground) if word)


def figures(line: Line) -> list[tuple[str, str]]:
    """What the verdict was made from, with names."""
    if line.error is None:
        return []
    rows = [
        (_("Typical error of one attempt"), line.error.typical),
        (_("Smallest change that matters (a fifth of how much children differ)"), line.worthwhile),
        (_("Least change between single attempts that is more than chance"), detectable_change(line.error)),
    ]
    if line.said.detectable is not None:
        rows.append((_("Least change between the first and the last of these days"), line.said.detectable))
    return [(name, span(size, line.trial)) for name, size in rows]
