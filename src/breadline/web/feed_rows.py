"""Own recipes and bought feeds as the lines of one list, sorted as the user asks; nothing is ranked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from breadline.errors import BreadlineError, FeedRefused
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import Quotes, analysed
from breadline.jobs.ration_terms import bought_of
from breadline.jobs.recipe_book import Version
from breadline.jobs.recipe_refusals import feed_gate
from breadline.jobs.recipe_written import BoughtFeed
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import Reader, Shelf
from breadline.language import noted, say
from breadline.ration.bases import AS_FED, DRY
from breadline.ration.cost import Cost
from breadline.ration.label import read_label
from breadline.ration.measures import System
from breadline.web import feed_words
from breadline.web.feed_desks import path_of


@dataclass(frozen=True)
class Row:
    """One feed in the list, in words, with the numbers that it is sorted by."""

    name: str
    href: str
    kind: str
    fed: str = ""
    dry: str = ""
    short: str = ""
    pollen: str = ""
    cost: str = ""
    protein_cost: str = ""
    years: str = ""
    cautions: str = ""
    refused: bool = False
    error: str = ""
    own: bool = False  # a recipe of one's own, not a bought feed
    holds_pollen: bool = False  # that its label or recipe says so
    by: dict[str, float] | None = None

    def place(self, column: str) -> tuple[bool, float, str]:
        """Where it stands when the list is sorted by a column; what is not known comes last."""
        value = (self.by or {}).get(column)
        return value is None, value or 0.0, self.name.casefold()


COLUMNS = {
    "name": noted("name"), "fed": noted("crude protein as fed"), "dry": noted("crude protein of dry matter"),
    "pollen": noted("real pollen"), "cost": noted("cost"), "protein": noted("cost of protein"),
}  # fmt: skip


def rows_of(desk: FeedDesk, unit: System) -> list[Row]:
    """Every recipe and every bought feed of the book."""
    quotes, shelf = desk.quotes(), desk.shelf
    own = [_safely(_recipe_row, kept, quotes, shelf, unit) for kept in desk.recipes()]
    own += [_broken(name, trouble, own=True) for name, trouble in desk.unreadable().items()]
    return own + [_safely(_feed_row, feed, quotes, shelf, unit) for feed in desk.feeds()]


def sorted_rows(rows: Sequence[Row], by: str) -> list[Row]:
    """By name, or by the column that the user chose."""
    return sorted(rows, key=lambda row: row.place(by))


def _safely(
    make: Callable[..., Row], thing: Version | BoughtFeed, quotes: Quotes, shelf: Shelf, unit: System
) -> Row:
    try:
        return make(thing, quotes, shelf, unit)
    except BreadlineError as trouble:
        own = isinstance(thing, Version)
        return _broken(thing.file.name if isinstance(thing, Version) else thing.name, trouble, own)


def _broken(name: str, trouble: BreadlineError, own: bool) -> Row:
    no = isinstance(trouble, FeedRefused)
    said = trouble.what if no else str(trouble)
    return Row(name, _href("recipe" if own else "bought", name), _kind(own), refused=no, error=said, own=own)


def _recipe_row(kept: Version, quotes: Quotes, shelf: Shelf, unit: System) -> Row:
    file = kept.file
    found = analysed(file, quotes, shelf)
    told, analysis = found.told, found.told.analysis
    fed, dry = (feed_words.protein_on(told, basis) for basis in (AS_FED, DRY))
    return Row(
        file.name, _href("recipe", file.name), _kind(True), feed_words.percent(fed), feed_words.percent(dry),
        feed_words.short_first(told.amino), feed_words.pollen_words(analysis.pollen_share),
        *_paid(told.cost, unit), cautions=feed_words.counted_remarks(found.remarks),
        refused=any(r.level == "refuse" for r in found.remarks),
        by=_numbers(fed, dry, analysis.pollen_share, told.cost), own=True,
        holds_pollen=bool(analysis.pollen_share),
    )  # fmt: skip


def _feed_row(feed: BoughtFeed, quotes: Quotes, shelf: Shelf, unit: System) -> Row:
    gate = feed_gate(feed, "", Reader(shelf))
    cautions = feed_words.counted_remarks(gate.remarks) if gate else say("see its label")
    reading = read_label(bought_of(feed, quotes.get(feed.name)))
    fed, dry = reading.protein_as_fed, reading.protein_dry
    pollen = feed_words.pollen_words(reading.pollen_share, reading.feed.pollen_listed)
    return Row(
        feed.name,
        _href("bought", feed.name),
        _kind(False),
        say("at least {amount}", amount=feed_words.guaranteed(fed)),
        say("at least {amount}", amount=feed_words.guaranteed(dry))
        if dry.exact or reading.moisture_said
        else say("water not said"),
        say("not on the label"),
        pollen,
        *_paid(reading.cost, unit, at_least=reading.at_least),
        cautions=cautions,
        refused=gate is not None and gate.answer == "refused",
        by=_numbers(fed, dry, reading.pollen_share, reading.cost),
        holds_pollen=bool(
            reading.feed.pollen_listed if reading.pollen_share is None else reading.pollen_share
        ),
    )


def _paid(cost: Cost | None, unit: System, at_least: bool = False) -> tuple[str, str, str]:
    """Cost of the feed, cost of its protein, and the years of the prices.

    Where only a least of protein is known, only a most is of what it costs.
    """
    if cost is None:
        return "", "", ""
    per = feed_words.per_unit(cost.feed, unit, cost.money)
    if at_least and cost.protein is not None:
        most = Content(cost.protein.high, cost.protein.high)
        return (
            per,
            say("at most {amount}", amount=feed_words.per_unit(most, unit, cost.money)),
            feed_words.years(cost),
        )
    protein = feed_words.per_unit(cost.protein, unit, cost.money)
    if cost.unpriced:
        per, protein = (
            say("at least {amount}", amount=per),
            protein and say("at least {amount}", amount=protein),
        )
    return per, protein, feed_words.years(cost)


def _numbers(
    fed: Content | None, dry: Content | None, pollen: float | None, cost: Cost | None
) -> dict[str, float]:
    whole = cost if cost and not cost.unpriced else None  # a part of a cost cannot be held against others
    told = {
        "low": fed.low if fed else None, "high": fed.high if fed else None,
        "fed": fed.middle if fed else None, "dry": dry.middle if dry else None, "pollen": pollen,
        "cost": whole.feed.middle if whole else None,
        "protein": whole.protein.middle if whole and whole.protein else None,
    }  # fmt: skip
    return {key: value for key, value in told.items() if value is not None}


def _kind(own: bool) -> str:
    return say("own recipe") if own else say("bought feed")


def _href(screen: str, name: str) -> str:
    return f"/feed/{screen}/{path_of(name)}"
