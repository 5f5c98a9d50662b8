"""Published reference values for children, as literals. They say what was usual somewhere once, not what ought to be.

National School Population Fitness Survey, United States, 1985 (the President's Challenge standards): shuttle of 4 × 30
feet with two blocks, seconds, by completed year of age; 85th and 50th percentile. The 50th from 14 years on was not
found in print and is left out. Read at docsbay.net and studylib.net; the 50th at summitcds.org.

Saint-Maurice and others 2015, Research Quarterly for Exercise and Sport 86 Suppl 1:S37-44, 2,427 Hungarian pupils:
standing long jump, centimetres; 50th percentile. Read at ncbi.nlm.nih.gov/pubmed/26054955.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

BOY, GIRL = "m", "f"


@dataclass(frozen=True)
class Table:
    """first_age: completed years of the first value. values: by sex and percentile, one a year of age."""

    first_age: int
    values: Mapping[tuple[str, int], tuple[float, ...]]

    def percentiles(self, sex: str) -> tuple[int, ...]:
        return tuple(sorted(percentile for of, percentile in self.values if of == sex))

    def at(self, sex: str, percentile: int, age: int) -> float | None:
        """The value of a completed year of age; None where none is published."""
        row = self.values.get((sex, percentile), ())
        return row[age - self.first_age] if 0 <= age - self.first_age < len(row) else None


SHUTTLE_4_30_FT_S = Table(
    first_age=6,
    values={
        (BOY, 85): (12.1, 11.5, 11.1, 10.9, 10.3, 10.0, 9.8, 9.5, 9.1, 9.0, 8.7, 8.7),
        (GIRL, 85): (12.4, 12.1, 11.8, 11.1, 10.8, 10.5, 10.4, 10.2, 10.1, 10.0, 10.1, 10.0),
        (BOY, 50): (13.3, 12.8, 12.2, 11.9, 11.5, 11.1, 10.6, 10.2),
        (GIRL, 50): (13.8, 13.2, 12.9, 12.5, 12.1, 11.5, 11.3, 11.1),
    },
)
LONG_JUMP_CM = Table(
    first_age=11,
    values={
        (BOY, 50): (147, 162, 175, 186, 195, 202, 207, 210),
        (GIRL, 50): (140.0, 143.9, 147.3, 150.0, 152.1, 153.7, 154.6, 155.0),
    },
)
