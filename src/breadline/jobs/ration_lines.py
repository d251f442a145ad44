"""The jobs of the ration as lines for the terminal, the answer first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from breadline.jobs.ration import Analysed, Answered, Batched, Compared
from breadline.jobs.ration_targets import target_lines, targets_head
from breadline.knowledge.data import sources
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.ration.analysis_words import label_sentences
from breadline.ration.batch_contents import (
    cost_said,
    pollen_said,
    protein_by_bucket,
    protein_rounding,
    protein_said,
)  # fmt: skip
from breadline.ration.batch_words import (
    bags_said,
    beside,
    bucket_said,
    how_much,
    lost,
    makes,
    scale_checks,
    short,
    to_ask,
    weighs,
)  # fmt: skip
from breadline.ration.compare import LINES, Column
from breadline.ration.measures import System, weight_said
from breadline.ration.plain_words import PER, listed, percent, price, prices, roughly
from breadline.ration.remark import Remark
from breadline.ration.solved_words import (
    TRACE,
    bags_sentence,
    conflict_sentences,
    cost_sentence,
    doubts,
    ends_sentences,
    free_sentence,
    search_sentence,
    too_big,
)  # fmt: skip
from breadline.ration.solver import Solved
from breadline.ration.standing_words import (
    OUT_OF_TIME,
    holding_sentences,
    next_best_sentence,
    price_sentences,
)  # fmt: skip
from breadline.sheets.batch_cautions import AT_THE_MIXER, HANDS, TOGETHER

Line = tuple[str, str]  # style, text


def analysis_lines(told: Analysed) -> Iterator[Line]:
    """The analysis: what it is first, then targets, the rest, what to take care of, and the sources."""
    weight = say("in shares") if told.file.in_shares else weight_said(told.recipe.grams, told.system)
    yield "bold", f"{told.file.name}, {weight}"
    yield from _not_fed(told.remarks)
    (first, *cost), *rest = told.told.groups(told.system)
    yield "bold", first
    yield from (("", sentence) for sentence in cost)
    yield from _targets(told)
    for group in rest:
        yield "", ""
        yield from (("", sentence) for sentence in group)
    yield from remark_lines(told.remarks)
    yield from _sources([part.ingredient for part in told.recipe.parts])


def solved_lines(told: Answered) -> Iterator[Line]:
    """The solver's answer: the mix or the conflict first, then how firmly it stands."""
    yield from _not_fed(told.remarks)
    if isinstance(told.found, Solved):
        yield from _mix_lines(told.found, told)
    else:
        first, *rest = conflict_sentences(told.found, told.system)
        yield "bold", first
        yield from (("", sentence) for sentence in rest)
        if told.mix is not None:
            yield from _under(say("The nearest mix"), _weights(told.mix, told.system))
    yield from remark_lines(told.remarks)
    if told.mix is not None:
        yield from _sources([part.ingredient for part in told.mix.recipe.parts])


def _not_fed(remarks: Sequence[Remark]) -> Iterator[Line]:
    """What refuses the feed, before anything is said of it; why stands further down."""
    yield from (
        ("bold", say("Not to be fed. {line}", line=one.line)) for one in remarks if one.level == "refuse"
    )


def _mix_lines(found: Solved, told: Answered) -> Iterator[Line]:
    system, firm = told.system, told.standing
    yield "bold", cost_sentence(found, system)
    yield from _under(say("To mix"), _weights(found, system))
    bags = (bags_sentence(found), too_big(found.problem, system))
    yield from (("", said) for said in (free_sentence(found), *bags, search_sentence(found)) if said)
    if firm is not None:
        yield from _under(say("What holds the cost up"), holding_sentences(found, firm, system))
        yield from _under(
            say("How far prices may move"), price_sentences(found.problem, firm.price_ranges, system)
        )
        yield "", ""
        yield "", next_best_sentence(firm)
        if not firm.within_time:
            yield "", OUT_OF_TIME
    both = () if told.ends is None else ends_sentences(found, told.ends, system)
    yield from _under(say("How sure the contents are"), (*doubts(found), *both))


def _under(head: str, told: Sequence[str]) -> Iterator[Line]:
    """A head with its list; neither where there is nothing to list."""
    if told:
        yield "", ""
        yield "bold", head
        yield from (("", f" - {one}") for one in told)


def _weights(mix: Solved, system: System) -> tuple[str, ...]:
    return tuple(
        f"{weight_said(part.grams, system)} {part.ingredient.name} ({percent(share)})"
        for part in mix.recipe.parts
        if (share := mix.shares[part.ingredient.key]) >= TRACE
    )


def comparison_lines(told: Compared) -> Iterator[Line]:
    """Feeds one below the other, for a narrow terminal."""
    for column in told.comparison.columns:
        yield "bold", column.name + (" " + say("(bought)") if column.bought else "")
        for what, said in column_rows(column, told.system):
            yield "", f"   {what}: {said}"
        yield "", ""
    yield from label_lines(told)


def label_lines(told: Compared) -> Iterator[Line]:
    """What has no price, what the labels say and do not, and whose order it is."""
    for column in told.comparison.columns:
        if column.unpriced:
            yield (
                "",
                say(
                    "{name} costs more than that: {names} without a price.",
                    name=column.name,
                    names=listed(column.unpriced),
                ),
            )
    for reading in told.labels:
        yield "bold", reading.name
        yield from (("", f" - {sentence}") for sentence in label_sentences(reading, told.system))
        gate = told.gates.get(reading.name)
        yield from (("", f" - {one.text}") for one in (gate.remarks if gate else ()))
    by_name = told.comparison.order == "by name"
    yield (
        "dim",
        (
            say("Listed by name; Breadline ranks no feed. Ranges come from what was not reported.")
            if by_name
            else say(
                "Listed in your own order; Breadline ranks no feed. Ranges come from what was not reported."
            )
        ),
    )


def column_rows(column: Column, system: System) -> Sequence[tuple[str, str]]:
    """What is set side by side, and what this feed has of it; unknown is a word."""
    return tuple((head_of(what, system), said_of(column, what, system)) for what in LINES)


def head_of(what: str, system: System) -> str:
    """What is set side by side, with its unit; money for a pound or a kilogram."""
    unit = LINES[what]
    if unit == "money/kg":
        return say("{what} [a {per}]", what=say(what), per=say(PER[system]))
    return f"{say(what)} [{unit}]" if unit else say(what)


def said_of(column: Column, what: str, system: System) -> str:
    """A value as it stands in a comparison."""
    value = column.values[what]
    if value is None:
        return say("can't tell")
    if LINES[what] == "money/kg":
        if what in column.at_most:
            return say("{price} or less", price=price(value.high, column.money, system))
        if what in column.at_least:
            return say("{price} or more", price=price(value.low, column.money, system))
        return prices(value, column.money, system)
    if isinf(value.high) or (what in column.at_least and value.high > value.low):
        return say("{n} or more", n=roughly(Content(value.low, value.low)))
    if what in column.at_most and value.low == 0:
        return say("{n} or less", n=roughly(Content(value.high, value.high)))
    return say("{n} or more", n=roughly(value)) if what in column.at_least else roughly(value)


def batch_lines(told: Batched) -> Iterator[Line]:
    """The batch as the mixing room reads it."""
    batch, system = told.batch, told.batch.mixing.system
    yield (
        "bold",
        say(
            "{name}, batch {number}, {day}",
            name=told.file.name,
            number=told.number,
            day=day_and_year(told.on),
        ),
    )
    yield "", ""
    yield "bold", makes(batch)
    yield from (("", said) for said in (short(batch), lost(batch), bucket_said(batch)) if said)
    yield "", ""
    yield "bold", say("Goes in, in this order")
    for n, line in enumerate(batch.lines, 1):
        more = ", ".join(said for said in (weighs(line, system), beside(line, system)) if said)
        yield "", f" {n}. {how_much(line, system)} {line.ingredient.name} ({more})"
    yield "", ""
    checks = [
        say("A full bucket of {name} should weigh {weight}.", name=name, weight=weight)
        for name, weight in scale_checks(batch)
    ]
    told_first = [said for said in (*checks, to_ask(batch)) if said]
    yield from (("", said) for said in told_first)
    if told_first:
        yield "", ""
    yield (
        "",
        say(
            "Protein {protein}. Real pollen: {pollen}.",
            protein=protein_said(batch),
            pollen=pollen_said(batch),
        ),
    )
    yield "", " ".join(said for said in (protein_rounding(batch), protein_by_bucket(batch)) if said)
    yield "", say("Cost: {cost}.", cost=cost_said(batch))
    yield from (("", say("From the store: {said}.", said=said)) for said in bags_said(batch))
    yield "", told.keeping
    yield from remark_lines(told.remarks, mixing=True)


def remark_lines(remarks: Sequence[Remark], mixing: bool = False) -> Iterator[Line]:
    """What the rules say, hardest first: with its reason what asks for care, in a line what is good to know.

    ``mixing``: whether it is read in the mixing room, which needs its own notes and no others.
    """
    heads = {"refuse": say("Not with Breadline's help"), "caution": say("Take care")}
    for level, head in heads.items():
        yield from _under(head, tuple(one.text for one in remarks if one.level == level))
    notes = [one for one in remarks if one.level == "note"]
    hands = any(one.key in HANDS for one in notes)
    if mixing:
        there = (*AT_THE_MIXER, *TOGETHER)
        yield from _under(say("In the mixing room"), tuple(one.line for one in notes if one.key in there))
    else:
        more = (
            say("Mixing it raises dust and handles allergens: the batch sheet says what to mind."),
        ) * hands
        yield from _under(say("Good to know"), (*(one.line for one in notes if one.key not in HANDS), *more))
    if remarks:
        yield "", ""
        yield (
            "dim",
            say("Why, whom to ask and the sources: the same command with --json, or the page Feed."),
        )


def _targets(told: Analysed) -> Iterator[Line]:
    if told.targets:
        yield from _under(targets_head(told), target_lines(told))


def _sources(kinds: Sequence[Ingredient]) -> Iterator[Line]:
    by_source: dict[str, list[str]] = {}
    for kind in kinds:
        by_source.setdefault(kind.source, []).append(kind.name)
    cites = sources()
    for source, names in by_source.items():
        yield (
            "dim",
            say("Contents of {names}: {source}", names=listed(names), source=cites.get(source, source)),
        )
