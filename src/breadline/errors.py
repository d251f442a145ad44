"""The tree of errors that a user can meet.

Each one says what is wrong, where, what was expected and what to do about it.
``InputToMend`` means that the user can mend it (exit code 2 on the command line,
a message beside the field on a page); anything else is our fault (exit code 1).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from breadline.language import say


class BreadlineError(Exception):
    """Anything Breadline raises on purpose.

    Parameters
    ----------
    where
        File, row, column, field or figure, in the user's own words.
    what
        What is wrong, with the offending value.
    expected
        The range, shape or unit that would be right.
    do
        The next step.
    """

    exit_code = 1

    def __init__(self, where: str, what: str, expected: str = "", do: str = "") -> None:
        self.where, self.what, self.expected, self.do = where, what, expected, do
        parts = [f"{where}: {_stop(what)}"]
        if expected:
            parts.append(say("Expected {what}", what=_stop(expected)))
        if do:
            parts.append(_stop(do))
        super().__init__(" ".join(parts))

    def __reduce__(self) -> tuple[Callable[..., BreadlineError], tuple[object, ...]]:
        """Copied and sent between processes as it is, also where a kind of error is made in its own way."""
        return _as_it_was, (type(self), self.args, self.__dict__)

    def as_dict(self) -> dict[str, str]:
        """The four parts, for ``--json`` and for pages."""
        return {"where": self.where, "what": self.what, "expected": self.expected, "do": self.do}


def _as_it_was(
    kind: type[BreadlineError], args: tuple[object, ...], told: Mapping[str, object]
) -> BreadlineError:
    made = kind.__new__(kind)
    made.args = args
    made.__dict__.update(told)
    return made


def _stop(text: str) -> str:
    text = text.strip()
    return text if text.endswith((".", "?", "!")) else text + "."


class InputToMend(BreadlineError):
    """Something the user gave us has to be mended."""

    exit_code = 2


class YardError(InputToMend):
    """A yard's facts: a missing count, frames that no box holds, a wrong latitude."""


class CountTooOld(YardError):
    """The last look into a yard's hives, ``on`` a day, is too old: how any new season begins.

    ``day`` is the same in words.
    """

    on: date
    day: str = ""

    @classmethod
    def of(cls, on: date, day: str, days: int, oldest: int) -> CountTooOld:
        """That of a last look ``days`` ago, where the oldest to go by is ``oldest``. [d]"""
        made = cls(
            say("count"),
            say("the last look into its hives was on {day}, {days} days ago", day=day, days=days),
            say("a count from the last {days} days", days=oldest),
            say("Count bees, brood and bread again; an old count says little about bread"),
        )
        made.on, made.day = on, day
        return made


class WeatherError(InputToMend):
    """A weather file or service: wrong unit, too short, another encoding."""


class FigureError(InputToMend):
    """A figure of the trade: unknown key, an edit outside what is possible."""


class RecipeError(InputToMend):
    """A recipe, an ingredient, a label or a target: a bad price, a share, a basis left out."""


class PlanError(InputToMend):
    """A plan of feeding: a target before today, a fee of 0, a start before hives can be opened."""


class FeedRefused(RecipeError):
    """What Breadline does not help with: a drug in a feed, or pollen that may carry foulbrood."""


class RecordError(InputToMend):
    """The book of records: a naive time, a fact that is not there, a newer file."""


class NoWeather(RecordError):
    """No weather is kept for the yard of this name yet: how every new yard begins."""

    @classmethod
    def of(cls, name: str) -> NoWeather:
        """That of a yard of this name."""
        return cls(
            name,
            say("no weather is kept for this yard"),
            say("a weather file of past years"),
            say("Give one on the page “Weather and bloom”, or fetch past years there"),
        )


class FitError(InputToMend):
    """A model that its data cannot carry: groupings or columns that cannot be told apart, no spread."""


class TrialError(InputToMend):
    """A comparison's facts: a colony without an end, arms that no block holds both of, one colony an arm."""


class Offline(InputToMend):
    """A service of weather could not be reached; a file works without it."""


class OurFault(BreadlineError):
    """A promise of the program is broken; please report it."""


class BalanceError(OurFault):
    """Pollen in and pollen out of a simulated colony do not agree."""
