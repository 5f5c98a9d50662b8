"""After a race: what each child is likely to run next time. Two rules, both smoothed; the coach is told which."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from clubapp.engine.ability import Prediction

LEAP = 2.0  # spreads: a run further out counts as this far, for it was a fall or a wrong watch rather than a child
HALF = 0.5


class Rule(StrEnum):
    FILTER = "filter"  # the less is known of a child, the more a run counts (Kalman 1960)
    HALF_WAY = "half-way"  # half-way between what was expected and what was run


@dataclass(frozen=True)
class Update:
    """drift: how much a child's level may have changed since the last race, in log(seconds)."""

    rule: Rule = Rule.FILTER
    drift: float = 0.005

    def after(self, likely: Prediction, seconds: float) -> Prediction:
        """The next prediction. seconds: the time from the child's own start, over the whole course.

        Who did not start or finish keeps the old one. Raises ValueError for a time that is not above 0.
        """
        if not 0 < seconds < math.inf:
            raise ValueError("a time is above 0 seconds")
        level, noise = likely.level_sd**2 + self.drift**2, likely.log_sd**2 - likely.level_sd**2
        most = LEAP * math.sqrt(level + noise)
        leap = min(max(math.log(seconds) - likely.log_mean, -most), most)
        gain = HALF if self.rule is Rule.HALF_WAY else level / (level + noise)
        left = (1 - gain) ** 2 * level + gain**2 * noise  # what is not yet known, whatever the gain
        return Prediction(likely.log_mean + gain * leap, math.sqrt(left + noise), math.sqrt(left))
