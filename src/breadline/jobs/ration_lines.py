"""The jobs of the ration as lines for the terminal, the answer first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from breadline.jobs.ration import Analysed, Answered, Batched, Compared, TargetHeld
from breadline.jobs.ration_told import solved_sentences
from breadline.knowledge.ingredient import Content
from breadline.need.words import day_and_year
from breadline.ration.analysis_words import label_sentences, roughly
from breadline.ration.batch_contents import (
    cost_said,
    money,
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
from breadline.ration.measures import LB_G, System, weight_said
from breadline.ration.remark import Remark
from breadline.ration.solved_words import amount
from breadline.ration.solver import Solved

Line = tuple[str, str]  # style, text
KEPT = {
    "yes": "kept", "no": "NOT kept", "open": "open: only a part of its range keeps it",
    "cannot be formed": "cannot be formed: there is nothing below the line",
}  # fmt: skip


def analysis_lines(told: Analysed) -> Iterator[Line]:
    """The analysis: protein first, then targets, the rest, what to take care of, and what it costs."""
    weight = "in shares" if told.file.in_shares else _weight(told.recipe.grams, told.system)
    yield "bold", f"{told.file.name}: {weight}"
    yield "", ""
    first, *rest, last = told.told.sentences
    yield "bold", first
    yield from (("", sentence) for sentence in rest)
    if told.told.cost is not None and told.system == "lb":
        per = told.told.cost.feed.middle * LB_G / 1000.0
        yield "", f"That is {money(per, told.told.cost.money)} a pound as fed."
    yield "", last
    if told.targets:
        yield "", ""
        yield "bold", "Your targets"
        yield from (("", f" - {_held(one, told)}") for one in told.targets)
    yield from remark_lines(told.remarks)
    yield "", ""
    yield from _sources(told)


def solved_lines(told: Answered) -> Iterator[Line]:
    """The solver's answer: the mix or the conflict first, then how firmly it stands."""
    first, *rest = solved_sentences(told)
    yield "bold", first
    yield "", ""
    yield from (("", sentence) for sentence in rest)
    if told.mix is not None and told.system == "lb":
        yield "", _by_the_pound(told.mix)
    if told.mix is not None:
        yield "", ""
        yield "bold", "To mix" if isinstance(told.found, Solved) else "The nearest mix"
        for part in told.mix.recipe.parts:
            yield "", f" - {_weight(part.grams, told.system)} {part.ingredient.name}"
    yield from remark_lines(told.remarks)


def comparison_lines(told: Compared) -> Iterator[Line]:
    """Feeds one below the other, for a narrow terminal."""
    for column in told.comparison.columns:
        yield "bold", f"{column.name}{' (bought)' if column.bought else ''}"
        for what, said in column_rows(column):
            yield "", f"   {what}: {said}"
        yield "", ""
    yield from label_lines(told)


def label_lines(told: Compared) -> Iterator[Line]:
    """What the labels say and do not, and whose order it is."""
    for reading in told.labels:
        yield "bold", reading.name
        yield from (("", f" - {sentence}") for sentence in label_sentences(reading))
        gate = told.gates.get(reading.name)
        yield from (("", f" - {one.text}") for one in (gate.remarks if gate else ()))
    order = "by name" if told.comparison.order == "by name" else "in your own order"
    yield "dim", f"Listed {order}; Breadline ranks no feed. Ranges come from what was not reported."


def column_rows(column: Column) -> Sequence[tuple[str, str]]:
    """What is set side by side, and what this feed has of it; unknown is a word."""
    return tuple((_what(what, column), said_of(column.values[what], what)) for what in LINES)


def said_of(value: Content | None, what: str) -> str:
    """A value as it stands in a comparison."""
    if value is None:
        return "can't tell"
    if LINES[what] == "money/kg":
        low, high = f"{value.low:.2f}", f"{value.high:.2f}"
        return low if low == high else f"{low} to {high}"
    if isinf(value.high):
        return f"{value.low:.1f} or more"
    return roughly(value)


def batch_lines(told: Batched) -> Iterator[Line]:
    """The batch as the mixing room reads it."""
    batch, system = told.batch, told.batch.mixing.system
    yield "bold", f"{told.file.name}, batch {told.number}, {day_and_year(told.on)}"
    yield "", ""
    yield "bold", makes(batch)
    yield from (("", said) for said in (short(batch), lost(batch), bucket_said(batch)) if said)
    yield "", ""
    yield "bold", "Goes in, in this order"
    for n, line in enumerate(batch.lines, 1):
        more = ", ".join(said for said in (weighs(line, system), beside(line, system)) if said)
        yield "", f" {n}. {how_much(line, system)} {line.ingredient.name} ({more})"
    yield "", ""
    checks = [f"A full bucket of {name} should weigh {weight}." for name, weight in scale_checks(batch)]
    told_first = [said for said in (*checks, to_ask(batch)) if said]
    yield from (("", said) for said in told_first)
    if told_first:
        yield "", ""
    yield "", f"Protein {protein_said(batch)}. Real pollen: {pollen_said(batch)}."
    yield "", " ".join(said for said in (protein_rounding(batch), protein_by_bucket(batch)) if said)
    yield "", f"Cost: {cost_said(batch)}."
    yield from (("", f"From the store: {said}.") for said in bags_said(batch))
    yield "", told.keeping
    yield from remark_lines(told.remarks)


def remark_lines(remarks: Sequence[Remark]) -> Iterator[Line]:
    """What the rules say, hardest first, notes below cautions."""
    heads = {"refuse": "Not with Breadline's help", "caution": "Take care", "note": "Good to know"}
    for level, head in heads.items():
        said = [one for one in remarks if one.level == level]
        if said:
            yield "", ""
            yield "bold", head
            yield from (("", f" - {one.text}") for one in said)


def _by_the_pound(mix: Solved) -> str:
    per, money_unit = mix.cost_per_kg, mix.problem.money
    pound = money(per * LB_G / 1000.0, money_unit)
    return f"By the pound the mix costs {pound}; divide any other price a kg by 2.2 for a pound."


def _held(one: TargetHeld, told: Analysed) -> str:
    names = {part.ingredient.key: part.ingredient.name for part in told.recipe.parts}
    target = one.target
    name = ", ".join(names.get(key, key) for key in target.keys) or target.name
    asked = [
        f"{word} {amount(target, bound)}"
        for word, bound in (("at least", target.least), ("at most", target.most)) if bound is not None
    ]  # fmt: skip
    has = "" if one.value is None else f"the mix has {_has(one)}; "
    return f"{name}, {' and '.join(asked)}: {has}{KEPT[one.kept]}."


def _has(one: TargetHeld) -> str:
    assert one.value is not None, "asked before"
    low, high = amount(one.target, one.value.low), amount(one.target, one.value.high)
    return low if low == high else f"{low} to {high}"


def _sources(told: Analysed) -> Iterator[Line]:
    kinds = [part.ingredient for part in told.recipe.parts]
    where = dict.fromkeys(f"{kind.name}: {kind.source}" for kind in kinds)
    yield "dim", f"Contents from {'; '.join(where)}."


def _what(what: str, column: Column) -> str:
    unit = LINES[what].replace("money", column.money or "money")
    return f"{what} [{unit}]" if unit else what


def _weight(grams: float, system: System) -> str:
    return weight_said(grams, system)
