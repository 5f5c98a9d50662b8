"""The leader's other hands: whose phones are there, and who leads from now on."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from clubapp.live import presence
from clubapp.live.access import Watcher
from clubapp.live.actions.lead import hand_over
from clubapp.live.forms import HandOverForm
from clubapp.live.views import common


@common.leading
@never_cache
@require_GET
def phones(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Asked for again every few seconds: who looks after what, and whose phone is heard."""
    context = {"session": watcher.session, "watcher": watcher, **presence.context_of(watcher.session)}
    return render(request, "live/phones.html", context)


@common.leading
@require_http_methods(["GET", "POST"])
def lead(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Hand the session over."""
    session = watcher.session
    form = HandOverForm(request.POST or None, session=session)
    if not form.is_valid():
        return render(
            request, "live/lead.html", {"session": session, "form": form}, status=422 if form.is_bound else 200
        )
    to = form.cleaned_data["leader"]
    hand_over(by=watcher, to=to)
    name = to.name if to else _("The head coach")
    messages.success(request, _("%(name)s leads this session now.") % {"name": name})
    return redirect("live:bell", session.pk)
