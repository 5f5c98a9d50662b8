"""What the phone's own scripts say about what waits to be sent and what is kept."""

from __future__ import annotations

from django.conf import settings
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _


def outbox() -> dict[str, str]:
    """For static/js/offline; %(n)s and the like are filled there."""
    return {
        "waiting_one": _("1 waiting to be sent"),
        "waiting_many": _("%(n)s waiting to be sent"),
        "refused_one": _("1 was not taken"),
        "refused_many": _("%(n)s were not taken"),
        "network": _("no network"),
        "busy": _("the club's server is busy"),
        "sign-in": _("sign in to send"),
        "send": _("Send now"),
        "sign_in": _("Sign in"),
        "sign_in_at": resolve_url(settings.LOGIN_URL),
        "saved": _("kept on this phone, not sent yet"),
        "not_kept": _("This phone could not keep that tap. Write it on paper."),
        "again": _("Try again"),
        "throw": _("Throw away"),
        "correct": _("Correct it"),
        "with_whom": _("Write with whom the child goes, or that it goes alone."),
        "reason": _("Write down the reason."),
        "leave_out": _("Tick what to leave out."),
        "refused": _("The club did not take this. Load the page again and look how things stand."),
        "forbidden": _("You may not do this any more. Tell the leader."),
        "gone": _("This is not there any more, or you may not see it any more. Tell the leader."),
        "large": _("That is too long to send. Make it shorter."),
        "over": _("This session is over: its names are not shown on this phone any more."),
        "waits": _("Not collected yet, as far as this phone knows. Write down here who takes each child."),
        "lost": _("%(n)s of your taps did not reach the club, and this pass is over. Tell the leader what you wrote."),
        "leave_one": _("1 of your taps has not reached the club."),
        "leave_many": _("%(n)s of your taps have not reached the club."),
        "leave_times_one": _("1 time on the stop-watch has no name yet."),
        "leave_times_many": _("%(n)s times on the stop-watch have no name yet."),
        "leave_running": _("A stop-watch is running."),
        "leave_lost": _("Whoever signs out now loses this for good."),
        "leave_name": _("To the stop-watch"),
        "leave_not": _("Stay signed in"),
        "leave_anyway": _("Sign out and lose it"),
        "parting": _("Signed out on this phone. The club hears of it with the next network, before any page is shown."),
        "release": _("A new version of Fieldbell is ready."),
        "release_use": _("Use it now"),
        "broken": _("The club's server could not take this. Try again later, and write it on paper."),
    }
