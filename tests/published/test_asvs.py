"""Attacks of every site, each named for its chapter of the OWASP Application Security Verification Standard 5.0
(github.com/OWASP/ASVS, folder 5.0/en; the numbers of its requirements stand beside the checks).
"""

from __future__ import annotations

from django.test import Client
from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.register.models import Mark
from tests.cast import PASSWORD, Cast
from tests.rules.addresses import addresses, ids_of

EVIL = "evil.example"
WAYS_OUT = (
    f"https://{EVIL}/",
    f"//{EVIL}",
    f"/\\{EVIL}",
    f"///{EVIL}",
    "javascript:alert(1)",
    f"https:{EVIL}",
    "http://[",
    "nowhere",
)
UNSAFE = ("post", "put", "patch", "delete")
SIGN_IN = reverse("people:sign_in")


def ours(location: str) -> bool:
    return location.startswith("/") and not location.startswith(("//", "/\\"))


def test_v3_web_frontend_security_open_redirects(cast: Cast) -> None:
    """3.7.2: nobody is sent to another host, whatever a link, a form or a header names."""
    coach, fields = cast.client(cast.hazel), {"email": cast.hazel.email, "password": PASSWORD}
    lock = reverse("rotation:lock", args=[cast.session.pk])
    for out in WAYS_OUT:
        answers = [
            cast.client().post(f"{SIGN_IN}?next={out}", fields | {"next": out}),
            coach.get(SIGN_IN, {"next": out}),
            coach.post(lock, {"next": out}),
            cast.client().post(lock, headers={"Referer": out}),
        ]
        assert [answer.status_code for answer in answers] == [302] * 4
        assert all(ours(answer["Location"]) for answer in answers), out


def test_v3_web_frontend_security_forged_requests(cast: Cast) -> None:
    """3.5.1: no unsafe method of any address is obeyed without the page's own token."""
    ids, strict = ids_of(cast), Client(enforce_csrf_checks=True)
    strict.force_login(cast.hazel)
    for number, address in enumerate(addresses()):
        for method in {"post", UNSAFE[number % len(UNSAFE)]}:
            assert getattr(strict, method)(address.path(ids)).status_code == 403, (method, address.name)


def test_v3_web_frontend_security_clickjacking(cast: Cast) -> None:
    """3.4.6: no page may stand in a frame of another."""
    register = reverse("register:register", args=[cast.session.pk])
    pages = [cast.client(cast.hazel).get(path) for path in ("/", register, "/nowhere/")] + [Client().get(SIGN_IN)]
    for page in pages:
        assert "frame-ancestors 'none'" in page["Content-Security-Policy"]
        assert page["X-Frame-Options"] == "DENY"


def test_v4_api_and_web_service_host_header(cast: Cast) -> None:
    """4.1.3: neither the Host header nor what a proxy would add puts another's name into a page, link or redirect."""
    coach, passes = cast.client(cast.hazel), reverse("live:passes", args=[cast.session.pk])
    assert coach.get(passes, headers={"Host": EVIL}).status_code == 400
    forwarded = {"X-Forwarded-Host": EVIL, "X-Forwarded-Server": EVIL, "Forwarded": f"host={EVIL}"}
    answers = [
        coach.get(passes, headers=forwarded),
        coach.post(passes, {"make": "yes"}, headers=forwarded, follow=True),
    ]
    answers.append(Client().get(passes, headers=forwarded))
    assert all(EVIL not in answer.content.decode() + str(answer.headers) for answer in answers)


def test_v7_session_management_session_fixation(cast: Cast) -> None:
    """7.2.4: signing in makes a new session; one that somebody else laid down beforehand opens nothing."""
    client = Client()
    laid = client.session
    laid["before"] = "x"
    laid.save()
    client.cookies["fieldbell"] = laid.session_key
    client.post(SIGN_IN, {"email": cast.hazel.email, "password": PASSWORD})
    assert client.session["_auth_user_id"] == str(cast.hazel.pk)
    other = Client()
    other.cookies["fieldbell"] = laid.session_key
    assert other.get(reverse("people:athletes")).status_code == 302
    invented = Client()
    invented.cookies["fieldbell"] = "a" * 32
    invented.post(SIGN_IN, {"email": cast.hazel.email, "password": PASSWORD})
    assert invented.session.session_key not in (None, "a" * 32)


def test_v15_secure_coding_and_architecture_mass_assignment(cast: Cast) -> None:
    """15.3.3: a form changes the fields it shows and no others of the row, whatever is sent along."""
    ada, before = cast.ada, Athlete.objects.filter(pk=cast.ada.pk).values().get()
    more = {field.attname: str(cast.other_squad.pk) for field in Athlete._meta.concrete_fields}
    more |= {"club": cast.other_squad.club_id, "pk": cast.athletes[1].pk, "archived_on": "2020-01-01"}
    shown = {"given_name": "Ada", "family_name": "Marsh", "date_of_birth": str(ada.date_of_birth), "skill": "3"}
    shown |= {"squads": str(cast.squad.pk), "sessions_before": "0", "joined_on": "", "birth_year": "", "known_as": ""}
    shown |= {"sex": "", "roster_id": ""}
    path = reverse("people:athlete", args=[ada.pk])
    assert cast.client(cast.hazel).post(path, more | shown).status_code == 302
    after = Athlete.objects.filter(pk=ada.pk).values().get()
    assert after["family_name"] == "Marsh"
    assert {name for name in after if after[name] != before[name]} <= {*shown}
    told = {"athlete": ada.pk, "kind": "absent", "by": cast.hazel.pk, "by_guardian": "true", "answer": "{}"}
    told |= {"received_at": "2020-01-01", "session": cast.other_session.pk, "id": cast.hazel.pk, "collector": ada.pk}
    cast.client(cast.finn).post(reverse("register:mark", args=[cast.session.pk]), told)
    mark = Mark.objects.get(athlete=ada)
    assert (mark.by, mark.by_guardian, mark.session, mark.kind) == (cast.finn, False, cast.session, "absent")
