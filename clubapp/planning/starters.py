"""Six stations a new session starts with, so that from list to running clock nothing has to be typed. Our own words."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clubapp.planning.models import Block, Station

EASY, HARD = Station.Intensity.EASY, Station.Intensity.HARD


@dataclass(frozen=True)
class Starter:
    """A station ready to set up on a field of about 40 by 30 metres; x_m, y_m from its south-west corner.

    activity: the library's card it is made from.
    """

    key: str
    name: str | Promise
    set_up: str | Promise
    x_m: float
    y_m: float
    intensity: str
    kit: dict[str, int] = field(default_factory=dict)
    tools: str = Station.Tools.NONE
    activity: str = ""


STARTERS = (
    Starter(
        "straight",
        _("Straight to the post"),
        _(
            "Two lanes of 20 m, a cone at each end. One child a lane, start on the partner's clap, run through the far "
            "cone, walk back along the outside. Look for: eyes up, arms from hip to chin."
        ),
        8.0,
        24.0,
        HARD,
        {"cones": 8},
        activity="straight-to-the-post",
    ),
    Starter(
        "turning",
        _("River bends"),
        _(
            "Six cones in a zigzag, 4 m apart. Run to each cone, plant the outer foot, push off to the next, walk "
            "back. Easier: wider bends. Harder: a partner points left or right at the last cone. Look for: low hips "
            "in the turn."
        ),
        20.0,
        24.0,
        HARD,
        {"cones": 6},
        activity="river-bends",
    ),
    Starter(
        "reaction",
        _("Heron and fish"),
        _(
            "Pairs face each other across a line, 2 m apart. The heron lifts one arm: the fish darts to that side, "
            "3 m, to a cone. Five goes, then swap. Or let the phone call left and right for everybody. Look for: first "
            "step short and quick."
        ),
        32.0,
        24.0,
        EASY,
        {"cones": 8},
        Station.Tools.CALLER,
        activity="heron-and-fish",
    ),
    Starter(
        "jumping",
        _("Stepping stones"),
        _(
            "Eight hoops or flat markers, a stride apart. Hop or jump from one to the next and stand still on each for "
            "a count of two. Look for: soft knees, quiet feet, knees over toes. Stop before landings get loud."
        ),
        8.0,
        8.0,
        HARD,
        {"flat markers": 8},
        activity="stepping-stones",
    ),
    Starter(
        "ball",
        _("Catch the current"),
        _(
            "Pairs 4 m apart with one ball. Throw and catch standing, then moving sideways, then with one hand. After "
            "ten catches take a step back. Look for: hands ready, eyes on the ball all the way in."
        ),
        20.0,
        8.0,
        EASY,
        {"balls": 4},
        activity="catch-the-current",
    ),
    Starter(
        "game",
        _("Otters' crossing"),
        _(
            "A square of 12 m with two otters in the middle. The others cross from bank to bank carrying a beanbag "
            "each; touched, they put it in the otters' pool and cross again with a new one. Change otters every "
            "minute. Look for: heads up, space before speed."
        ),
        32.0,
        8.0,
        EASY,
        {"cones": 4, "beanbags": 24, "bibs": 2},
        activity="otters-crossing",
    ),
)
BY_KEY = {starter.key: starter for starter in STARTERS}

# The parts of a new session and their seconds; the rotation takes what they leave of the hour.
BLOCKS = (
    (Block.Kind.GATHER, 180),
    (Block.Kind.WARM_UP, 300),
    (Block.Kind.ROTATION, 0),
    (Block.Kind.WATER, 120),
    (Block.Kind.GAME, 360),
    (Block.Kind.COOL_DOWN, 240),
)
