"""Who is in the demo, as plain data. Every name is invented."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time
from typing import Any

CLUB = "Millrace Juniors"
SQUAD = "Saturday squad"
ZONE = "Europe/London"
PLACE = "Mill meadow"
MEETING_PLACE = "the mill barn, wide door"
# Invented like everything here: the number is of the range kept for stories.
VENUE: dict[str, Any] = {
    "name": PLACE,
    "outline": [[0, 0], [80, 0], [80, 60], [0, 60]],
    "closed": [{"name": "goal", "at": [0, 27], "size": [2, 6]}, {"name": "soft patch", "at": [66, 0], "size": [14, 8]}],
    "water": [40, 59],
    "first_aid": [40, 1],
    "first_aid_at": "green bag on the bench by the barn",
    "meeting_place": MEETING_PLACE,
    "address": "Mill Lane 3, Weirbridge",
    "gate": "the wide gate on Mill Lane; the warden has the key",
    "entrance": "Weirbridge Infirmary, north entrance",
    "phone": "01632 960113",
}
HALL: dict[str, Any] = {
    "name": "Weirbridge school hall",
    "indoors": True,
    "outline": [[0, 0], [45, 0], [45, 26], [0, 26]],
    "closed": [{"name": "folded stage", "at": [43, 8], "size": [2, 10]}],
    "water": [1, 25],
    "first_aid": [1, 1],
    "first_aid_at": "green box beside the double door",
    "meeting_place": "the school car park, by the bicycle stands",
    "address": "School Lane 12, Weirbridge",
    "gate": "the car park barrier; the caretaker opens it",
    "entrance": "Weirbridge Infirmary, north entrance",
    "phone": "01632 960117",
}
KIT = {"cones": 40, "balls": 12, "bibs": 24, "beanbags": 24, "flat markers": 10}


@dataclass(frozen=True)
class Adult:
    """An adult who signs in as `email`."""

    name: str
    email: str


HEAD_COACH = Adult("Marlo Weirhead", "coach@millrace.example")
ASSISTANTS = (
    Adult("Juno Ferryside", "juno@millrace.example"),
    Adult("Otis Sticklebeck", "otis@millrace.example"),
    Adult("Petra Lockgate", "petra@millrace.example"),
)


@dataclass(frozen=True)
class Kin:
    """A guardian, and the roster ids of their children."""

    adult: Adult
    phone: str
    relation: str
    children: tuple[str, ...]


GUARDIANS = (
    Kin(Adult("Bryn Otterby", "bryn@millrace.example"), "+447700900101", "father", ("m07", "m19")),
    Kin(Adult("Sunniva Kingcup", "sunniva@millrace.example"), "+447700900102", "grandmother", ("m12",)),
)


# What the head coach wrote to the families, and who comes late to today's session.
MESSAGE = "The meadow is wet: bring a second pair of socks. On the last Saturday before the holidays we end with games."
LATE = ("m12", 10, "the tram")


@dataclass(frozen=True)
class Home:
    """An adult without an account, met at the field, and what they said of photographs."""

    child: str
    name: str
    relation: str
    photographs: bool = True


# Of the two children who have never been here nothing is known yet.
HOMES = (
    Home("m01", "Corwin Reedmere", "father"),
    Home("m02", "Idony Weirfold", "mother"),
    Home("m03", "Lettice Eelwater", "aunt"),
    Home("m04", "Amabel Rushlow", "mother"),
    Home("m05", "Jessamy Marshlight", "mother", photographs=False),
    Home("m06", "Godwin Fernlock", "grandfather"),
    Home("m08", "Thea Sluicegate", "mother"),
    Home("m09", "Leofric Ripplewood", "father"),
    Home("m10", "Avice Heronshaw", "mother"),
    Home("m11", "Merrick Brooktree", "father"),
    Home("m13", "Sabina Alderholme", "mother"),
    Home("m14", "Hester Watermint", "mother"),
    Home("m15", "Barnaby Pebblebank", "father"),
    Home("m17", "Rowena Willowend", "mother"),
    Home("m18", "Edric Stonewade", "father"),
    Home("m20", "Muriel Millpond", "grandmother"),
    Home("m21", "Cressida Foxwater", "mother"),
    Home("m22", "Alaric Dipperdale", "father", photographs=False),
    Home("m23", "Ysolt Driftwood", "mother"),
    Home("m24", "Winifred Sedgeley", "mother"),
    Home("m26", "Osric Tidewell", "father"),
)


@dataclass(frozen=True)
class Child:
    """A child of the club.

    age: completed years and days since the birthday, on the day the demo is first loaded.
    speed_s: seconds over 40 m at the last timed test, or None.
    visits: on how many of the last six Saturdays the child was here.
    known_before: sessions before this record began; 0 for the children who came lately.
    """

    id: str
    given: str
    family: str
    sex: str
    age: tuple[int, int]
    skill: int
    speed_s: float | None
    visits: int
    known_before: int = 12
    known_as: str = ""


# From the youngest to the oldest; the names tell nothing of it, so that a list by name is no list by age.
CHILDREN = (
    Child("m01", "Ansel", "Reedmere", "m", (7, 41), 2, 9.12, 5),
    Child("m02", "Vesper", "Weirfold", "f", (7, 203), 1, 9.48, 2, 0),
    Child("m03", "Caspian", "Eelwater", "m", (7, 311), 3, 8.75, 6),
    Child("m04", "Zinnia", "Rushlow", "f", (8, 12), 2, 8.66, 4),
    Child("m05", "Yorick", "Marshlight", "m", (8, 120), 4, 8.21, 6),
    Child("m06", "Wilfred", "Fernlock", "m", (8, 188), 1, 9.03, 1, 0, known_as="Wilf"),
    Child("m07", "Xanthe", "Otterby", "f", (8, 299), 3, 8.34, 6),
    Child("m08", "Hollis", "Sluicegate", "x", (9, 30), 3, 8.07, 5),
    Child("m09", "Rosalba", "Ripplewood", "f", (9, 95), 4, 7.78, 6),
    Child("m10", "Ulric", "Heronshaw", "m", (9, 160), 2, 8.49, 3),
    Child("m11", "Kestrel", "Brooktree", "f", (9, 244), 5, 7.52, 6),
    Child("m12", "Linnea", "Kingcup", "f", (9, 351), 3, 7.96, 5),
    Child("m13", "Marnie", "Alderholme", "f", (10, 55), 2, 8.15, 2, 0),
    Child("m14", "Piers", "Watermint", "m", (10, 133), 4, 7.41, 6),
    Child("m15", "Ottoline", "Pebblebank", "f", (10, 220), 3, 7.69, 4),
    Child("m16", "Nico", "Mudlark", "m", (10, 330), 1, 8.30, 0, 0),
    Child("m17", "Quentin", "Willowend", "m", (11, 18), 5, 6.98, 6),
    Child("m18", "Isolde", "Stonewade", "f", (11, 101), 3, 7.44, 5),
    Child("m19", "Silas", "Otterby", "m", (11, 199), 4, 7.15, 6),
    Child("m20", "Tamsin", "Millpond", "f", (11, 340), 2, 7.86, 3),
    Child("m21", "Jory", "Foxwater", "m", (12, 77), 4, 6.81, 6),
    Child("m22", "Bettina", "Dipperdale", "f", (12, 215), 5, 6.72, 5, known_as="Betty"),
    Child("m23", "Florian", "Driftwood", "m", (13, 8), 3, None, 1, 0),
    Child("m24", "Greer", "Sedgeley", "f", (13, 146), 4, 6.58, 6),
    Child("m25", "Emrys", "Flintford", "m", (13, 290), 2, 7.29, 0, 0),
    Child("m26", "Delphine", "Tidewell", "f", (14, 102), 5, 6.24, 6),
)


@dataclass(frozen=True)
class Pair:
    """Children to keep together or apart, and why; the reason is the head coach's alone."""

    kind: str
    children: tuple[str, ...]
    reason: str


PAIRS = (
    Pair("together", ("m01", "m03"), "Ansel comes only where Caspian is"),
    Pair("together", ("m13", "m15"), "Ottoline brings Marnie along"),
    Pair("apart", ("m14", "m19"), "they race each other and forget the rest"),
    Pair("apart", ("m21", "m24"), "agreed with both families in the autumn"),
)


@dataclass(frozen=True)
class Note:
    """A health note: what to know and, first of all, what to do."""

    child: str
    what: str
    what_to_do: str


NOTES = (
    Note(
        "m09",
        "Asthma, worse in cold air.",
        "Stop, sit upright, blue inhaler from the red bag. Not better in five minutes: ring the emergency number.",
    ),
    Note(
        "m17",
        "Allergic to wasp stings.",
        "Stung: pen from the orange pouch into the thigh, call an ambulance, do not leave him alone.",
    ),
)


@dataclass(frozen=True)
class Incident:
    """A knock to the head some weeks ago. minute: of the session."""

    week: int
    child: str
    author: str
    minute: int
    what: str
    done: str
    stays_with: str
    told_whom: str


INCIDENT = Incident(
    week=2,
    child="m24",
    author="juno@millrace.example",
    minute=25,
    what="Turned into another child at the last cone; foreheads met. Said she felt dizzy.",
    done="Sat down in the shade, cold pack, no more running.",
    stays_with="Juno Ferryside",
    told_whom="her mother, at the gate",
)

WEEKS = 6
STARTS = time(10, 0)
MINUTES = 60
ADULTS = 4
