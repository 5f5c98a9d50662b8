"""The field plan: placed, moved, judged at once, set out and carried."""

from __future__ import annotations

from django.urls import reverse

from clubapp.planning import actions
from clubapp.planning.field_page import bag_of, page_of
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Session, Station, Venue
from tests.cast import Cast
from tests.planning.doors import only_who_runs_it, only_who_works_here

MEADOW = {"outline": [[0, 0], [70, 0], [70, 50], [0, 50]], "water": [0, 25], "first_aid": [35, 0]}
CARDS = ("straight-to-the-post", "heron-and-fish", "otters-crossing")


def on_a_meadow(cast: Cast, **more: object) -> Session:
    """Three stations: a sprint with its run-out, one where children listen, a loud one."""
    venue = Venue.objects.create(club=cast.club, name="Meadow", **(MEADOW | more))
    Session.objects.filter(pk=cast.session.pk).update(venue=venue)
    for station, code in zip(Station.objects.filter(session=cast.session), CARDS, strict=True):
        card = standard()[code]
        Station.objects.filter(pk=station.pk).update(
            x_m=None, y_m=None, activity=code, diagram=card.diagram, kit=card.kit_all
        )
    return Session.objects.get(pk=cast.session.pk)


def address(name: str, session: Session) -> str:
    return reverse(f"planning:{name}", args=[session.pk])


def test_access(cast: Cast) -> None:
    session = on_a_meadow(cast)
    only_who_works_here(cast, address("field", session))
    only_who_runs_it(cast, address("field_place", session))
    only_who_runs_it(cast, address("field_move", session))
    assert "Place them" not in cast.client(cast.finn).get(address("field", session)).content.decode()


def test_placed_moved_by_a_tap_or_by_buttons_and_judged_at_once(cast: Cast) -> None:
    session, client = on_a_meadow(cast), cast.client(cast.hazel)
    html = client.post(address("field_place", session), follow=True).content.decode()
    assert "m round all stations" in html
    assert "Run-outs are clear" in html
    page = page_of(session)
    assert (page.troubles, len(page.rows)) == ((), 3)
    assert all("m from the" in row.first and "points" in row.runs for row in page.rows)
    first, second = (row.station for row in page.rows[:2])
    answer = client.post(
        address("field_move", session), {"station": first.pk, "x": second.x_m, "y": second.y_m, "do": "put"}
    )
    html = client.get(answer["Location"]).content.decode()
    assert "Stations 1 and 2 overlap, or leave no metre between them." in html
    assert html.count("field-station wrong") == 2
    client.post(address("field_move", session), {"station": first.pk, "do": "north"})
    client.post(address("field_move", session), {"station": first.pk, "do": "turn"})
    moved = Station.objects.get(pk=first.pk)
    assert (moved.x_m, moved.y_m, moved.turned) == (second.x_m, second.y_m + 1, (first.turned + 1) % 4)


def test_what_cannot_be_done_names_the_field(cast: Cast) -> None:
    session, client = on_a_meadow(cast), cast.client(cast.hazel)
    station = Station.objects.filter(session=session).earliest("number")
    for sent, words in (
        ({"station": station.pk, "do": "put"}, "Write where its middle is to be."),
        ({"station": station.pk, "do": "turn"}, "Write where its middle is to be."),
        ({"station": station.pk, "x": "nan", "y": "-3"}, "Metres north, of its middle"),
        ({"x": "3", "y": "3"}, "Station"),
    ):
        answer = client.post(address("field_move", session), sent)
        assert answer.status_code == 422
        assert words in answer.content.decode()
    station.refresh_from_db()
    assert station.x_m is None


def test_too_little_ground_moves_nothing_and_names_the_stations(cast: Cast) -> None:
    session = on_a_meadow(cast, outline=[[0, 0], [30, 0], [30, 20], [0, 20]], first_aid=None, water=None)
    html = cast.client(cast.hazel).post(address("field_place", session), follow=True).content.decode()
    assert "There is not ground enough for: 1." in html
    assert not Station.objects.filter(session=session, x_m__isnull=False).exists()


def test_without_a_venue_the_page_says_what_to_do_first(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    html = client.get(address("field", cast.session)).content.decode()
    assert "This session has no venue yet" in html
    html = client.post(address("field_place", cast.session), follow=True).content.decode()
    assert "Choose a venue for this session first." in html


def test_the_first_cone_is_measured_from_the_nearest_lines(cast: Cast) -> None:
    """A drawing of 10 by 20 m with its middle at (20, 40), turned four times: worked by hand."""
    session = on_a_meadow(cast)
    station = Station.objects.filter(session=session).earliest("number")
    drawing = {"size": [10, 20], "run_out": {"top": 5}, "cones": [{"at": [1, 2]}, {"at": [9, 2]}]}
    Station.objects.filter(pk=station.pk).update(diagram=drawing)
    for turned, along, across in ((0, 18, 16), (1, 6, 12), (2, 2, 24), (3, 14, 28)):
        stand = actions.Stand(20.0, 40.0, turned)
        actions.place_stations(session=session, stands={str(station.pk): stand})
        words = f"first cone {along}.0 m from the north line, {across}.0 m from the west line"
        assert page_of(session).rows[0].first == words
    Venue.objects.update(outline=[[0, 0], [70, 5], [70, 50], [0, 50]])
    row = page_of(Session.objects.get(pk=session.pk)).rows[0]
    assert row.first == "first cone 36.0 m north, 28.0 m east of the first corner"


def test_the_bag_says_where_to_do_with_less() -> None:
    stations = tuple(
        Station(number=number, name="x", kit=kit)
        for number, kit in enumerate(({"cones": 20, "balls": 9}, {"cones": 8, "bibs": 12}, {"cones": 18}), start=1)
    )
    bag, short = bag_of(stations, {"cones": 40, "balls": 8, "hoops": 3})
    assert bag == ("9 balls", "12 bibs", "46 cones")
    assert short == (
        "9 balls; you have 8: use fewer at station 1.",
        "46 cones; you have 40 cones: use lines at station 2.",
    )
    assert bag_of(stations, {"cones": 10})[1] == ("46 cones; you have 10 cones: use lines at station 1.",)


def test_the_name_of_a_hazard_at_the_edge_stays_in_the_drawing(cast: Cast) -> None:
    stage = {"name": "a long folded stage", "at": [68, 20], "size": [2, 6]}
    session = on_a_meadow(cast, closed=[stage, stage | {"at": [0, 20]}, stage | {"at": [30, 20]}])
    picture = str(page_of(session).picture)
    ends = [part.split('class="')[1].split('"')[0] for part in picture.split("<text") if "folded" in part]
    assert ends == ["ground-text end", "ground-text ", "ground-text middle"]


def test_a_new_session_at_a_venue_begins_with_a_plan_that_breaks_no_rule(cast: Cast) -> None:
    venue = Venue.objects.create(club=cast.club, name="Meadow", **MEADOW)
    sent = {"date": cast.session.date, "starts": "15:00", "minutes": 60, "adults": 4, "squad": cast.squad.pk}
    cast.client(cast.hazel).post(reverse("planning:session_new"), sent | {"venue": venue.pk})
    made = Session.objects.get(venue=venue)
    page = page_of(made)
    assert page.troubles == ()
    assert all(row.placed for row in page.rows)
    Venue.objects.update(outline=[[0, 0], [20, 0], [20, 20], [0, 20]], water=None, first_aid=None)
    cast.client(cast.hazel).post(reverse("planning:session_new"), sent | {"venue": venue.pk, "starts": "17:00"})
    small = page_of(Session.objects.get(venue=venue, starts="17:00"))
    assert all(row.placed for row in small.rows)
    assert small.troubles
