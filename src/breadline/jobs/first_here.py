"""What a yard's facts put before any protein feed, for whoever is about to put some there."""

from __future__ import annotations

from breadline.errors import CountTooOld, YardError
from breadline.jobs.rounds_answered import no_round, season_says
from breadline.knowledge.shelf import Reader
from breadline.need.forecast import count_age
from breadline.need.yard import Yard


def first_here(yard: Yard, reader: Reader) -> str:
    """What is to be done before feed, as the yard's own page says it; empty where nothing is.

    An old count cannot say it, but for signs of foulbrood.
    """
    said = season_says(yard, reader)
    if not no_round(yard, said) or (_old(yard) and said.rung != "foulbrood"):
        return ""
    return said.sentence


def _old(yard: Yard) -> bool:
    try:
        count_age(yard)
    except CountTooOld:
        return True
    except YardError:  # ahead of today: what is asked says so
        return False
    return False
