"""What a row of the register says, in words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from clubapp.register import lateness
from clubapp.register.models import ComingLate, Mark
from clubapp.register.queries import CurrentMark

Kind = Mark.Kind


def leave_out_words(codes: tuple[str, ...]) -> str:
    """ "no jumps, no sprints", or "watching only"."""
    if Mark.LeaveOut.WATCHING in codes:
        return _("watching only")
    return ", ".join(_("no %(what)s") % {"what": Mark.LeaveOut(code).label} for code in codes)


def state_of(mark: CurrentMark | None) -> str:
    """The state of a row: what was marked and what one must know about it."""
    if mark is None:
        return _("not marked")
    words = _plain(mark)
    return f"{words} – {mark.word}" if mark.word else words


def said_in(mark: Mark) -> str:
    """What one entry said when it was made, with its word."""
    words = mark.get_kind_display() if mark.kind == Kind.CLEARED else _plain(mark)
    return f"{words} – {mark.word}" if mark.word else words


def _plain(mark: CurrentMark | Mark) -> str:
    match mark.kind:
        case Kind.EASY:
            return _("here, go easy: %(what)s") % {"what": leave_out_words(tuple(mark.leave_out))}
        case Kind.LATE:
            return _("here, came late")
        case Kind.LEFT:
            return _gone(mark)
        case Kind.ABSENT:
            return _("not here")
        case Kind.TOLD:
            return _("told us: cannot come")
        case _:
            return _("here")


def _gone(mark: CurrentMark | Mark) -> str:
    """With whom. A mark from before that was asked claims nothing about who may collect."""
    words = {"whom": mark.with_whom, "reason": mark.reason}
    match mark.went:
        case Mark.Went.ADULT:
            return _("gone with %(whom)s") % words
        case Mark.Went.ALONE:
            return _("gone alone, as a guardian agreed")
        case Mark.Went.DECIDED:
            return _("gone, %(whom)s – the leader decided: %(reason)s") % words
        case _:
            return _("left early with %(whom)s") % words


def doubts(mark: CurrentMark | None, clash: tuple[str, str] | None, *, undone: bool = False) -> list[str]:
    """What somebody has to look at with their own eyes. undone: the child's leaving was taken back."""
    found = [_("was marked gone, then no longer – is the child here? Mark it")] if undone else []
    if clash:
        found.append(_("changed by %(first)s and %(second)s – check") % {"first": clash[0], "second": clash[1]})
    if mark is not None and mark.here and mark.notice_late:
        found.append(_("a guardian said afterwards: cannot come – check"))
    return found


def earlier_notice(mark: CurrentMark | None) -> str:
    """A guardian's notice that an adult's mark stands above."""
    if mark is None or not mark.notice or mark.kind == Kind.TOLD:
        return ""
    if mark.notice_word:
        return _("a guardian had told us: %(word)s") % {"word": mark.notice_word}
    return _("a guardian had told us: cannot come")


def coming(row: ComingLate | None, mark: CurrentMark | None) -> str:
    """When a guardian said that the child comes; not once it is here or has gone, nor under a later "cannot come"."""
    if row is None or (mark is not None and (mark.here or mark.kind == Kind.LEFT)):
        return ""
    if mark is not None and mark.kind == Kind.TOLD and mark.by_guardian and mark.tapped_at > row.tapped_at:
        return ""
    return _("a guardian says: %(words)s") % {"words": lateness.words(row)}
