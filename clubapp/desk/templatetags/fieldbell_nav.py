"""The head of every page: the wordmark, the club's name and the few links this adult needs."""

from __future__ import annotations

from typing import Any

from django import template
from django.http import HttpRequest

from clubapp.desk import queries

register = template.Library()


@register.inclusion_tag("desk/nav.html", takes_context=True)
def fieldbell_nav(context: template.Context) -> dict[str, Any]:
    request: HttpRequest | None = context.get("request")
    user = getattr(request, "user", None)
    here = request.resolver_match.view_name if request and request.resolver_match else ""
    return {"nav": queries.nav_for(user) if user is not None else None, "here": here}
