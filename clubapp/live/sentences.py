"""What the bell says in words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from clubapp.engine.clock import Why
from clubapp.live.models import Whereabouts


def why(reason: str) -> str:
    """Why a command changed nothing, and what to do; empty when it was taken."""
    said = {
        Why.COUNTED: _("That was heard before."),
        Why.STALE: _("Somebody was quicker: look at the bell, and tap again if you still want it."),
        Why.NO_SCHEDULE: _("There are no groups yet: make them first, then start the bell."),
        Why.NOT_STARTED: _("The bell has not started yet."),
        Why.STARTED: _("The bell has started already."),
        Why.NOT_RUNNING: _("The bell is not running: go on first."),
        Why.RUNNING: _("The bell is running already."),
        Why.STOPPED: _("Everybody is stopped already."),
        Why.ENDED: _("This session has ended."),
        Why.NOTHING_AFTER: _("Nothing comes after this part."),
        Why.UNDER_WAY: _("That round has begun already: the new groups can begin with the next one."),
        Why.NO_SUCH_ROUND: _("That round is not in the plan any more: look again."),
        Why.NOTHING_TO_UNDO: _("It is too late to take that back. Use back, or add seconds."),
    }
    return said.get(Why(reason), "")


def part(kind: str) -> str:
    """The word on the scoreboard."""
    words = {
        "gather": _("GATHER"),
        "warm-up": _("WARM UP"),
        "work": _("WORK"),
        "change": _("MOVE"),
        "water": _("WATER"),
        "game": _("GAME"),
        "cool-down": _("COOL DOWN"),
        "over": _("ALL DONE"),
    }
    return words.get(kind, kind)


def away_words(name: str, word: Whereabouts | None) -> str:
    """Why a child of a group does not stand with it."""
    if word is None:
        return name
    return _("%(name)s (missing)") % {"name": name} if word.kind == "missing" else _("%(name)s (away)") % {"name": name}


KINDS = ("gather", "warm-up", "work", "change", "water", "game", "cool-down", "over")


def for_phones() -> dict[str, object]:
    """Every sentence the scripts say; %s stands for what they fill in."""
    return {
        "parts": {kind: part(kind) for kind in KINDS},
        "phases": {"waiting": _("READY"), "paused": _("PAUSED"), "stopped": _("STOP"), "ended": _("ENDED")},
        "round": _("round %s of %s"),
        "ends": _("ends %s"),
        "began": _("%s begins"),
        "done": _("All rounds are done"),
        "half": _("half of the time is left"),
        "ten": _("ten seconds"),
        "rings": _("The bell rings: everybody look to the leader"),
        "starts": _("The leader starts it."),
        "setting": _("Setting the clock…"),
        "offline": _("offline since %s, still on time"),
        "sending": _("sending…"),
        "unheard": _("Not heard: use the whistle. Then tap again."),
        "unheard_stop": _("Not heard by the other phones: blow the whistle and shout STOP."),
        "locked": _("The buttons are locked: hold “Hold to open” first."),
        "press_again": _("Press once more to stop everybody."),
        "reasons": {
            "": "",
            "thunder": _("Thunder was heard"),
            "hurt": _("Somebody is hurt"),
            "missing": _("A child is missing"),
            "danger": _("There is danger on the field"),
        },
        # The published advice stands on the page with its source. It never says that it is safe.
        "thunder": _("Last thunder at %s. Play may be considered again from %s, if no more is heard."),
        "signed_out": _("You are signed out on this phone. The clock goes on; sign in again for the rest."),
        "gone": _("This phone may not follow the session any more. Ask the leader."),
        "left": _("%s left"),
        "sound": sound(),
    }


def sound() -> dict[str, object]:
    """What is said of signals, buzz, voice and screen. A state is never said to be on when it is not."""
    return {
        "line": {
            "ask": _("Sound: tap to turn on"),
            "on": _("Sound is on"),
            "off": _("Sound is off"),
            "tap": _("Sound needs a tap"),
            "cannot": _("No sound on this phone"),
        },
        "names": {"buzz": _("buzz"), "voice": _("voice"), "awake": _("screen stays on")},
        "also": _("also on: %s"),
        "alone": _("no buzz, no voice, the screen may go dark"),
        "turn_on": _("Turn on"),
        "turn_off": _("Turn off"),
        "states": {
            "on": _("on"),
            "off": _("off"),
            "tap": _("needs a tap"),
            "cannot": _("this phone cannot"),
            "https": _("needs an https address, see below"),
            "refused": _("the phone refused"),
            "buzz_on": _("on, if you feel it in the test"),
            "voice_none": _("this phone has no voice"),
            "voice_trying": _("not spoken yet: play the test"),
            "awake_refused": _("the phone refused: is it saving power?"),
            "awake_on": _("on, as long as this page is in front"),
        },
        "move": _("Move"),
        "done": _("All rounds are done"),
        "spoken_test": _("This is how station names are spoken."),
    }
