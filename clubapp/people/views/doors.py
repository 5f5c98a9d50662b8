"""The doors of the house: sign in, sign out, set up, accept an invitation."""

from __future__ import annotations

from django.contrib.auth import authenticate, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.core import errors
from clubapp.core.guessing import turns_guessers_away
from clubapp.core.onward import own_path
from clubapp.core.registry import registry
from clubapp.core.tell import close_sockets
from clubapp.people import actions, links, tries
from clubapp.people.forms.doors import InvitedForm, SetUpForm, SignInForm
from clubapp.people.letting_in import let_in
from clubapp.people.models import OneTimeLink, User
from clubapp.people.requests import posted

Purpose = OneTimeLink.Purpose
pages = require_http_methods(["GET", "HEAD", "POST"])


@pages
@never_cache
def sign_in(request: HttpRequest) -> HttpResponse:
    """One answer for an unknown e-mail and for a wrong password."""
    if request.user.is_authenticated:
        return redirect(_next(request))
    form = SignInForm(posted(request))
    if form.is_valid():
        email = form.cleaned_data["email"]
        if wait := tries.seconds_to_wait(request, email):
            return errors.too_many(request, wait_seconds=wait)
        user = authenticate(request, username=email, password=form.cleaned_data["password"])
        if isinstance(user, User):
            return let_in(request, user, resolve_url(_next(request)))
        tries.count_wrong(request, email)
        form.add_error(None, _("This e-mail and this password do not open the door. Look at both again."))
    return render(request, "people/sign_in.html", {"form": form, "next": request.GET.get("next", "")})


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sockets outlive a session: close this adult's as well."""
    user_id = request.user.pk
    registry.sign_out(dict(request.session.items()))
    logout(request)
    if user_id:
        close_sockets(user_id)
    response = redirect("people:sign_in")
    # Not "storage": that would throw away what another adult of this phone has not sent yet. The page's own script
    # takes this adult's things away.
    response["Clear-Site-Data"] = '"cache"'
    return response


@pages
@turns_guessers_away
def set_up(request: HttpRequest, token: str) -> HttpResponse:
    """The first page of a new club. Looking at it uses nothing up."""
    link = links.good_link(token, Purpose.SET_UP)
    form = SetUpForm(posted(request))
    if form.is_valid():
        actions.set_up_club(link=link, new=form.new_club())
        coach = User.objects.get(email=form.adult().email)
        return links.unseen(let_in(request, coach, reverse("desk:home")))
    return links.unseen(render(request, "people/set_up.html", {"form": form}))


@pages
@turns_guessers_away
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """A guardian or member comes in: with the account they are signed in with, another one, or a new one."""
    link = links.good_link(token, Purpose.GUARDIAN, Purpose.MEMBER)
    if request.method == "POST" and "as_me" in request.POST and request.user.is_authenticated:
        return links.unseen(_join(request, link, request.user))
    form = InvitedForm(posted(request), initial=_known_of(link))
    if form.is_valid():
        if wait := tries.seconds_to_wait(request, form.adult().email):
            return links.unseen(errors.too_many(request, wait_seconds=wait))
        user = _old_or_new(request, link, form)
        if user is not None:
            return links.unseen(let_in(request, user, reverse("desk:home")))
    return links.unseen(render(request, "people/invitation.html", {"form": form, "link": link}))


def _join(request: HttpRequest, link: OneTimeLink, user: User) -> HttpResponse:
    try:
        actions.join(link=link, user=user)
    except ValueError:
        return render(request, "people/invitation.html", {"form": InvitedForm(), "link": link, "has_role": True})
    return redirect("desk:home")


def _known_of(link: OneTimeLink) -> dict[str, str]:
    guardian = link.guardian
    return {"adult_name": guardian.name, "email": guardian.email} if guardian else {}


def _old_or_new(request: HttpRequest, link: OneTimeLink, form: InvitedForm) -> User | None:
    """The adult, let in; or None with the reason in the form."""
    if not form.known:
        return actions.join_new(link=link, new=form.adult())
    user = authenticate(request, username=form.adult().email, password=form.adult().password)
    if not isinstance(user, User):
        tries.count_wrong(request, form.adult().email)
        form.add_error("password", _("There is an account with this e-mail: write its own password."))
        return None
    try:
        actions.join(link=link, user=user)
    except ValueError:
        form.add_error(None, _("This account has another role in the club already."))
        return None
    return user


def _next(request: HttpRequest) -> str:
    """Where the adult was going, if that is a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    return own_path(request, wanted) or "desk:home"
