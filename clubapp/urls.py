"""Every address; each app keeps its own list."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("clubapp.desk.urls")),
    path("", include("clubapp.core.urls")),
    path("account/", include("clubapp.people.account_urls")),
    path("people/", include("clubapp.people.urls")),
    path("tests/", include("clubapp.results.urls")),
    path("progress/", include("clubapp.results.progress_urls")),
    path("sessions/", include("clubapp.planning.urls")),
    path("activities/", include("clubapp.planning.library_urls")),
    path("register/", include("clubapp.register.urls")),
    path("plan/", include("clubapp.rotation.urls")),
    path("games/", include("clubapp.games.urls")),
    path("bell/", include("clubapp.live.urls")),
    path("venues/", include("clubapp.planning.venue_urls")),
    path("family/", include("clubapp.family.urls")),
]

handler400 = "clubapp.core.errors.bad_request"
handler403 = "clubapp.core.errors.forbidden"
handler404 = "clubapp.core.errors.not_found"
handler500 = "clubapp.core.errors.broken"
