"""The four jobs of the ration: analyse a recipe, solve for the cheapest, compare feeds, make out a batch."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from breadline.errors import FeedRefused, RecipeError
from breadline.jobs import ration_terms as terms
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_refusals import feed_gate, refuse_pollen
from breadline.jobs.recipe_written import GRAMS, Amount, Quote, RecipeFile
from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.countries import law_of
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import Reader, Shelf, load
from breadline.language import say
from breadline.ration.analysis import Analysis, analyse
from breadline.ration.analysis_told import Told, told_of
from breadline.ration.batch import Batch, batch_of
from breadline.ration.batch_lines import Mixing
from breadline.ration.compare import Comparison, label_column, recipe_column, side_by_side
from breadline.ration.ends import Ends, ends
from breadline.ration.keeping import keeping
from breadline.ration.label import LabelReading, read_label
from breadline.ration.measures import System
from breadline.ration.model import Watcher
from breadline.ration.pollen_gate import Gate
from breadline.ration.recipe import Recipe
from breadline.ration.remark import Remark, refused
from breadline.ration.rows import Table
from breadline.ration.rules import rules_for
from breadline.ration.solved_words import as_much
from breadline.ration.solver import Conflict, Solved, cheapest
from breadline.ration.standing import Standing, standing
from breadline.ration.targets import Target
from breadline.sheets.batch_cautions import mixing_room_lines
from breadline.sheets.batch_sheet import Heading, Paper, batch_sheet

Quotes = Mapping[str, Quote]


@dataclass(frozen=True)
class TargetHeld:
    """A target, and what the mix comes to; ``None`` where there is nothing below the line. [its unit]"""

    target: Target
    value: Content | None

    @property
    def kept(self) -> str:
        """Whether the mix keeps it, to the digits shown: yes, no, or open where a part of its range does.

        A mix that was weighed out to the gram has 14.9999 % where 15 % were asked for, and is told as 15 %.
        """
        if self.value is None:
            return say("cannot be formed")
        least, most, (low, high) = self.target.least, self.target.most, (self.value.low, self.value.high)
        if (least is None or as_much(low, least)) and (most is None or as_much(most, high)):
            return "yes"
        some = (least is None or as_much(high, least)) and (most is None or as_much(most, low))
        return "open" if some else "no"


@dataclass(frozen=True)
class Analysed:
    """A recipe's analysis with its targets and what the rules say; ``figures`` are keys on the shelf."""

    file: RecipeFile
    recipe: Recipe
    told: Told
    targets: tuple[TargetHeld, ...]
    remarks: tuple[Remark, ...]
    system: System
    figures: tuple[str, ...]


@dataclass(frozen=True)
class Answered:
    """What the solver found: a mix with how firmly it stands and what the rules say of it, or a conflict."""

    file: RecipeFile
    found: Solved | Conflict
    standing: Standing | None
    ends: Ends | None
    remarks: tuple[Remark, ...]
    system: System

    @property
    def mix(self) -> Solved | None:
        """The cheapest mix, or the nearest where targets are at odds."""
        return self.found if isinstance(self.found, Solved) else self.found.nearest


@dataclass(frozen=True)
class Compared:
    """Feeds side by side, and the labels that were read for it."""

    comparison: Comparison
    labels: tuple[LabelReading, ...]
    gates: Mapping[str, Gate]  # of bought feeds that state real pollen, by name
    system: System


@dataclass(frozen=True)
class Batched:
    """A batch with its number, day and cautions."""

    file: RecipeFile
    batch: Batch
    number: str
    on: date
    remarks: tuple[Remark, ...]
    keeping: str


def analysed(file: RecipeFile, quotes: Quotes | None = None, shelf: Shelf | None = None) -> Analysed:
    """The analysis of a recipe.

    Errors
    ------
    FeedRefused
        Before anything is worked out, where real pollen in it may not be fed.
    RecipeError
        If there is no mix in the file, or it cannot be.
    """
    reader = _reader(shelf)
    recipe = _mix(file, quotes, reader)
    told = told_of(recipe, pattern(), reader)
    held = tuple(held_by(target, recipe) for target in terms.targets_of(file))
    remarks = remarks_on(file, recipe, told.analysis, reader)
    return Analysed(file, recipe, told, held, remarks, terms.told_in(file), reader.used)


def solved(
    file: RecipeFile, quotes: Quotes | None = None, shelf: Shelf | None = None, watch: Watcher | None = None
) -> Answered:
    """The cheapest mix under a file's targets, or what stands against there being one.

    Errors
    ------
    FeedRefused
        Before anything is worked out, where real pollen on offer may not be fed.
    RecipeError
        If no target is written, or the question cannot be asked so.
    """
    reader = _reader(shelf)
    refuse_pollen(file, terms.offered(file), all_ingredients(file), reader)
    if not file.aims:
        raise RecipeError(
            f"{file.name}, [[target]]",
            say("no target is written down"),
            say("at least one, such as protein"),
            say("Without one the cheapest mix is the cheapest ingredient"),
        )
    found = cheapest(terms.problem_of(file, quotes), watch=watch)
    firm, both = (standing(found), ends(found)) if isinstance(found, Solved) else (None, None)
    answer = Answered(file, found, firm, both, (), terms.told_in(file))
    if answer.mix is None:
        return answer
    recipe = replace(answer.mix.recipe, name=file.name)
    return replace(answer, remarks=remarks_on(file, recipe, analyse(recipe), reader))


def compared(
    files: Sequence[RecipeFile], order: Sequence[str] = (), quotes: Quotes | None = None,
    shelf: Shelf | None = None,
) -> Compared:  # fmt: skip
    """Own recipes and the bought feeds of their files side by side, by name or in one's own order.

    Errors
    ------
    FeedRefused
        Where real pollen in one of them may not be fed.
    RecipeError
        If two bear one name and are not the same, or the order does not name each once.
    """
    reader, columns = _reader(shelf), []
    labels: dict[str, LabelReading] = {}
    gates: dict[str, Gate] = {}
    for file in files:
        own = {one.of: one for one in file.quotes}
        for feed in file.feeds:
            reading = read_label(terms.bought_of(feed, own.get(feed.name) or (quotes or {}).get(feed.name)))
            if labels.get(feed.name, reading) != reading:
                raise RecipeError(
                    feed.name,
                    say("two files tell it differently"),
                    say("one label, one price"),
                    say("Rename one, or mend it"),
                )
            labels[feed.name] = reading
            if gate := feed_gate(feed, file.country, reader):
                gates[feed.name] = gate
        if file.amounts:
            recipe = _mix(file, quotes, reader)
            columns.append(recipe_column(recipe, analyse(recipe), pattern()))
    columns += [label_column(reading) for reading in labels.values()]
    if not columns:
        raise RecipeError(
            "comparison", say("there is nothing to compare"), say("recipes, or files with a [[feed]]")
        )
    return Compared(side_by_side(columns, order), tuple(labels.values()), gates, terms.told_in(files[0]))


def batched(
    file: RecipeFile, number: str, on: date, quotes: Quotes | None = None, shelf: Shelf | None = None,
    asked: Callable[[Mixing], Mixing] | None = None,
) -> Batched:  # fmt: skip
    """A batch for the mixing room; ``asked`` turns how the file mixes into how much of it is wanted.

    Errors
    ------
    FeedRefused
        Before anything is worked out where the pollen gate refuses it, and before anything is
        measured out where another rule does.
    RecipeError
        If it cannot be mixed so.
    """
    reader = _reader(shelf)
    recipe = _mix(file, quotes, reader)
    analysis = analyse(recipe)
    remarks = remarks_on(file, recipe, analysis, reader)
    if refused(remarks):
        raise FeedRefused(
            file.name, remarks[0].line, "", f"{remarks[0].why} {say('Ask: {whom}', whom=remarks[0].ask)}"
        )
    mixing = terms.mixing_of(file)
    batch = batch_of(recipe, mixing if asked is None else asked(mixing))
    return Batched(file, batch, number, on, remarks, keeping(analysis, reader).sentence)


def remarks_on(file: RecipeFile, recipe: Recipe, analysis: Analysis, reader: Reader) -> tuple[Remark, ...]:
    """What the rule table, the pollen gate and the refusals say, hardest first."""
    amounts = {name: amount.content for name, amount in analysis.amounts.items()}
    return rules_for(recipe, amounts, terms.circumstances_of(file), law_of(file.country), reader)


def held_by(target: Target, recipe: Recipe) -> TargetHeld:
    """What a recipe comes to on one target, over the ranges of its contents."""
    shares = recipe.shares()
    table = Table(tuple({part.ingredient.key: part.ingredient for part in recipe.parts}.values()))
    mix = np.array([shares[one.key] for one in table.ingredients])
    low, high = table.quotient(target).span(mix)
    none = np.isnan(low) or np.isnan(high) or np.isinf(low)  # nothing below the line
    return TargetHeld(target, None if none else Content(low, high))


def solved_file(answer: Answered, name: str = "") -> RecipeFile | None:
    """The mix that was found as a recipe file: :func:`file_of_mix`, or ``None`` where there is none."""
    return None if answer.mix is None else file_of_mix(answer.file, answer.found, name)


def file_of_mix(file: RecipeFile, found: Solved | Conflict, name: str = "") -> RecipeFile:
    """A mix as a recipe of its own, weighed to a thousandth of a kilogram or of a pound.

    What is known of the ingredients, prices, targets and mixing room goes along, so that its batch sheet
    goes by the same buckets. ``name`` is "..., cheapest mix", or "..., nearest mix", where left out.

    Raises
    ------
    RecipeError
        If nothing was found to be weighed out.
    """
    mix = found if isinstance(found, Solved) else found.nearest
    if mix is None:
        raise RecipeError(
            file.name, say("there is no mix to keep"), say("a mix"), say("Give way on a target first")
        )
    cheapest = isinstance(found, Solved)
    bulk = {one.ingredient: one.bulk_kg_per_l for one in file.amounts}
    unit = terms.system_of(file)
    amounts = tuple(
        Amount(part.ingredient.key, weight, unit, None, bulk.get(part.ingredient.key))
        for part in mix.recipe.parts
        if (weight := round(part.grams / GRAMS[unit], 3)) > 0
    )
    mixing = file.mixing
    if mixing is not None and mix.batch_kg is not None:  # whole bags need not fill the mixer
        mixing = replace(mixing, batch=round(1000.0 * mix.batch_kg / GRAMS[mixing.unit], 2))
    note = say("The cheapest mix by the targets of {name}", name=file.name)
    called = say("{name}, cheapest mix", name=file.name)
    if not cheapest:
        note = say("The nearest mix by the targets of {name}", name=file.name)
        called = say("{name}, nearest mix", name=file.name)
    return replace(
        file,
        name=name or called,
        amounts=amounts,
        mixing=mixing,
        note=note,
    )


def _mix(file: RecipeFile, quotes: Quotes | None, reader: Reader) -> Recipe:
    """The mix, once the pollen gate has let it through."""
    if not file.amounts:
        raise RecipeError(
            f"{file.name}, [[part]]",
            say("no ingredient is written down"),
            say("a [[part]] for each"),
            say("A bought feed is read from its label by: breadline ration compare"),
        )
    keys = tuple(one.ingredient for one in file.amounts)
    refuse_pollen(file, keys, all_ingredients(file), reader)
    return terms.recipe_of(file, quotes)


def _reader(shelf: Shelf | None) -> Reader:
    return Reader(load() if shelf is None else shelf)


def sheet_of(told: Batched, paper: Paper, meant_for: str = "", version: str = "") -> bytes:
    """The batch sheet, a PDF of one page."""
    cautions = mixing_room_lines(told.remarks)
    heading = Heading(told.number, told.on, version, meant_for, cautions, told.keeping)
    return batch_sheet(told.batch, heading, paper)


def paper_of(country: str) -> Paper:
    """The paper that is in the printer of a country that is not said otherwise."""
    return "us-letter" if country in ("US", "CA", "MX", "") else "a4"
