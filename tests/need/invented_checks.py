"""Results of the season model's checks that nobody found: every number is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from breadline.knowledge.season_checks import Checked, SeasonChecks
from breadline.knowledge.shelf import Shelf, load

SHARE = Checked("", "invented", 0.5, 0.4, 0.6, 0.45, 0.5, 0.55, True)


def share(key: str, met: bool) -> Checked:
    """A share of 50 in 100 counted; the model has as many, or 10 in 100."""
    one = replace(SHARE, key=key)
    return one if met else replace(one, model_low=0.05, model=0.1, model_high=0.15, inside=False)


def checks(winter: bool, dearth: bool) -> SeasonChecks:
    """A result in which winter and dearth are trusted or not."""
    asked = {
        "winter": (share("winter_reared", winter),),
        "dearth": (share("syrup_only_brood", dearth), share("fed_brood", True)),
    }
    return SeasonChecks(date(2027, 1, 1), "invented", "invented", asked)  # type: ignore[arg-type]


def shelf_of(winter: bool, dearth: bool) -> Shelf:
    """The shelf beside such a result."""
    return load().with_checks(checks(winter, dearth))
