"""An adult's own sign-ins, and whether the club asks its head coaches for a second step."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.views import view_recovery_codes
from allauth.mfa.totp.views import activate_totp
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.people import access, actions, second_step
from clubapp.people import sign_ins as signed_in
from clubapp.people.adapters import StepAdapter
from clubapp.people.requests import SignedIn


@login_required
@never_cache
@require_GET
def sign_ins(request: SignedIn) -> HttpResponse:
    page = {
        "sign_ins": signed_in.of(request.user, request.session.session_key),
        "step": second_step.is_set_up(request.user),
        "required": second_step.is_required(request.user),
    }
    return render(request, "people/sign_ins.html", page)


@login_required
@require_POST
def end_sign_in(request: SignedIn) -> HttpResponse:
    """One of them, or all others; the own one ends by "Sign out"."""
    handle = request.POST.get("handle") or None
    ended = signed_in.end(request.user, handle=handle, but=request.session.session_key)
    if ended:
        messages.success(request, _("Signed out there."))
    return redirect("account_sign_ins")


@login_required
def set_up_app(request: SignedIn) -> HttpResponse:
    """One app an account; a second one would be another phone to lose."""
    if Authenticator.objects.filter(user=request.user, type=Authenticator.Type.TOTP).exists():
        return redirect("mfa_index")
    answer: HttpResponse = activate_totp(request)
    return answer


@login_required
def spare_codes(request: SignedIn) -> HttpResponse:
    if not Authenticator.objects.filter(user=request.user, type=Authenticator.Type.RECOVERY_CODES).exists():
        return redirect("mfa_index")
    answer: HttpResponse = view_recovery_codes(request)
    return answer


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def remove_step(request: SignedIn, step_id: int) -> HttpResponse:
    """Somebody else's is not there; the own one goes after showing again who one is."""
    step = get_object_or_404(Authenticator, pk=step_id, user=request.user, type__in=second_step.STEPS)
    answer: HttpResponse = _remove(request, step)
    return answer


@reauthentication_required(app="allauth.mfa")  # type: ignore[untyped-decorator]
def _remove(request: SignedIn, step: Authenticator) -> HttpResponse:
    if request.method != "POST":
        return render(request, "people/remove_step.html", {"step": step})
    if not StepAdapter().can_delete_authenticator(step):
        messages.error(request, StepAdapter.error_messages["cannot_delete_authenticator"])
        return redirect("mfa_index")
    actions.remove_step(step=step, by=request.user)
    return redirect("mfa_index")


@login_required
@require_POST
def ask_second_step(request: SignedIn) -> HttpResponse:
    """On or off for the club's head coaches. Who turns it on has it: nobody locks the own door."""
    club = access.coached_club(request.user)
    wanted = request.POST.get("wanted") == "yes"
    if wanted and not second_step.is_set_up(request.user):
        messages.error(request, _("Set up your own second step first, then ask it of the others."))
        return redirect("mfa_index")
    actions.ask_second_step(club=club, wanted=wanted, by=request.user)
    messages.success(request, _("Saved."))
    return redirect("people:members")
