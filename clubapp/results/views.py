"""The club's tests: the list, a page each, and what the head coach changes."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn, posted
from clubapp.results import access, actions, catalogue
from clubapp.results.forms import TrialForm

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@require_GET
def tests(request: SignedIn) -> HttpResponse:
    """Everything that can be tested: the club's own first."""
    listed = catalogue.of_club(access.club_for(request.user))
    context = {
        "own": [test for test in listed if not test.standard and not test.archived],
        "standard": [test for test in listed if test.standard and not test.archived],
        "archived": [test for test in listed if test.archived],
        "may_change": access.may_change(request.user),
    }
    return render(request, "results/tests.html", context)


@login_required
@require_GET
def test(request: SignedIn, code: str) -> HttpResponse:
    """The ground to scale, how it is run and how it is scored."""
    found = catalogue.find(catalogue.of_club(access.club_for(request.user)), code)
    return render(request, "results/test.html", {"test": found, "may_change": access.may_change(request.user)})


@login_required
@pages
def test_new(request: SignedIn) -> HttpResponse:
    club = coached_club(request.user)
    form = TrialForm(club, posted(request))
    if form.is_valid():
        return redirect("results:test", actions.make_test(club=club, wish=form.wish()).code)
    return render(request, "results/test_form.html", {"form": form})


@login_required
@pages
def test_change(request: SignedIn, code: str) -> HttpResponse:
    club = coached_club(request.user)
    found = catalogue.find(catalogue.of_club(club), code)
    form = TrialForm(club, posted(request), test=found)
    if form.is_valid():
        actions.change_test(club=club, test=found.starter, wish=form.wish())
        return redirect("results:test", code)
    return render(request, "results/test_form.html", {"form": form, "test": found})


@login_required
@require_POST
def test_archive(request: SignedIn, code: str) -> HttpResponse:
    """Put away, or back: the same address says which by `back`."""
    club = coached_club(request.user)
    found = catalogue.find(catalogue.of_club(club), code)
    if request.POST.get("back"):
        actions.restore_test(club=club, test=found.starter)
        return redirect("results:test", code)
    actions.archive_test(club=club, test=found.starter)
    messages.success(
        request, _("%(test)s is put away. Its results stay, and you can bring it back.") % {"test": found.name}
    )
    return redirect("results:tests")
