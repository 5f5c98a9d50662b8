"""Notices on a guardian's phone: turned on and off there, topic by topic."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clubapp.family import access, actions, push
from clubapp.family.forms import PhoneForm
from clubapp.people.requests import SignedIn


@login_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def notices(request: SignedIn) -> HttpResponse:
    """The page's script sends what the browser gives; what stands is shown as the club knows it."""
    if not access.children_of(request.user).exists():
        raise Http404
    if request.method == "POST":
        return _turned(request)
    phone = access.phone_of(request.user, request.session.get(actions.PHONE))
    if phone:
        actions.see_phone(user=request.user, subscription_id=phone.pk)
    page = {"installed": push.is_installed(), "key": push.public_key(), "phone": phone}
    return render(request, "family/notices.html", page)


def _turned(request: SignedIn) -> HttpResponse:
    form = PhoneForm(request.POST)
    if not form.is_valid():
        return JsonResponse(
            {"error": " ".join(str(error) for row in form.errors.values() for error in row)}, status=422
        )
    mine = request.session.get(actions.PHONE)
    if not form.wants():
        if mine:
            actions.leave_phone(user=request.user, subscription_id=mine)
        request.session.pop(actions.PHONE, None)
        return JsonResponse({"said": _("This phone is told nothing more.")})
    if not push.is_installed():
        return JsonResponse({"error": _("This club's server cannot send notices to phones.")}, status=422)
    row = actions.tell_phone(user=request.user, phone=actions.Phone(**form.cleaned_data))
    if mine and mine != str(row.pk):
        actions.leave_phone(user=request.user, subscription_id=mine)
    request.session[actions.PHONE] = str(row.pk)
    return JsonResponse({"said": _("Saved. A first notice is on its way to this phone.")})
