"""The jobs of the ration as documents for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import Any

from breadline.jobs.ration import Analysed, Answered, Batched, Compared, TargetHeld, solved_file
from breadline.jobs.recipe_text import recipe_to_toml
from breadline.knowledge.ingredient import Content
from breadline.ration import solved_words, standing_words
from breadline.ration.analysis import Analysis, Ratio
from breadline.ration.analysis_words import label_sentences
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN, Basis
from breadline.ration.batch_contents import cost_said, protein_rounding
from breadline.ration.batch_words import how_much, makes
from breadline.ration.compare import LINES, Column
from breadline.ration.conflict import Member
from breadline.ration.cost import Cost
from breadline.ration.keeping import Keeping
from breadline.ration.remark import Remark
from breadline.ration.solver import Conflict, Solved
from breadline.ration.standing import NextBest, PriceRange
from breadline.ration.targets import Target

Document = dict[str, Any]


def analysis_document(told: Analysed) -> Document:
    """The analysis; its shape is ``breadline.analysis/1``."""
    all_of_it, mix = told.told, told.told.analysis
    return {
        "shape": "breadline.analysis/1",
        "recipe": told.file.name,
        "grams": round(mix.grams, 3),
        "parts": [
            {"ingredient": key, "name": kind.name, "share_pct": _round(100 * mix.shares[key]),
             "source": kind.source, "read": kind.read}
            for key, kind in mix.ingredients.items()
        ],
        "sentences": list(all_of_it.sentences(told.system)),
        "protein_pct": {"as_fed": _protein(mix, AS_FED, AS_FED_OWN), "dry_matter": _dry(mix)},
        "amounts": [
            {"what": name, "unit": f"{one.unit}/100 g as fed", **_range(one.content),
             "not_reported_by": list(one.blank)}
            for name, one in mix.amounts.items()
        ],
        "omega6_to_omega3": _ratio(mix.omega),
        "sugar_to_water": _ratio(mix.sugar_to_water),
        "pollen_pct": _round(100 * mix.pollen_share),
        "amino_acids": _amino(told),
        "keeping": _keeping(all_of_it.keeping),
        "worth": {
            "mean_log_ratio": _round(all_of_it.worth.mean),
            "sd_log_ratio": _round(all_of_it.worth.sd),
            "sentence": all_of_it.worth.sentence,
        },
        "cost": None if all_of_it.cost is None else _cost(all_of_it.cost),
        "targets": [_held(one) for one in told.targets],
        "remarks": remarks_told(told.remarks),
        "figures": list(told.figures),
    }  # fmt: skip


def solved_document(told: Answered) -> Document:
    """What the solver found; its shape is ``breadline.solved/1``."""
    found, firm = told.found, told.standing
    mix = solved_file(told)
    return {
        "shape": "breadline.solved/1",
        "recipe": told.file.name,
        "answer": "mix" if isinstance(found, Solved) else "conflict",
        "sentences": list(solved_sentences(told)),
        "mix": _mix(told.mix),
        "conflict": _conflict(found) if isinstance(found, Conflict) else None,
        "binding": [] if firm is None else [
            {**_target(one.target), "side": one.side, "bound": _round(one.bound), "step": _round(one.step),
             "saving_per_kg": _round(one.saving)}
            for one in firm.bindings
        ],
        "price_ranges": [] if firm is None else [_price_range(one) for one in firm.price_ranges],
        "next_best": None if firm is None else _next_best(firm.next_best),
        "survives_both_ends_of_protein": None if told.ends is None else told.ends.survives,
        "remarks": remarks_told(told.remarks),
        "recipe_file": None if mix is None else recipe_to_toml(mix),
    }  # fmt: skip


def solved_sentences(told: Answered) -> tuple[str, ...]:
    """The solver's answer in words, the answer first."""
    found, system = told.found, told.system
    if isinstance(found, Conflict):
        return solved_words.conflict_sentences(found, system)
    lines = solved_words.sentences(found, system)
    if told.standing is not None:
        lines += standing_words.standing_sentences(found, told.standing, system)
    if told.ends is not None:
        lines += solved_words.ends_sentences(found, told.ends, system)
    return lines


def comparison_document(told: Compared) -> Document:
    """Feeds side by side; its shape is ``breadline.comparison/1``."""
    return {
        "shape": "breadline.comparison/1",
        "order": told.comparison.order,
        "feeds": [
            {
                "name": column.name, "bought": column.bought, "money": column.money or None,
                "years": list(column.years), "without_a_price": list(column.unpriced),
                "values": [
                    {"what": what, "unit": unit or "1", **_known(column, what)}
                    for what, unit in LINES.items()
                ],
            }
            for column in told.comparison.columns
        ],
        "labels": [
            {"name": one.name, "sentences": list(label_sentences(one, told.system)),
             "remarks": remarks_told(told.gates[one.name].remarks if one.name in told.gates else ())}
            for one in told.labels
        ],
    }  # fmt: skip


def batch_document(told: Batched, sheet: str | None) -> Document:
    """A batch; its shape is ``breadline.batch/1``."""
    batch, system = told.batch, told.batch.mixing.system
    return {
        "shape": "breadline.batch/1",
        "recipe": told.file.name,
        "number": told.number,
        "on": told.on.isoformat(),
        "loads": batch.loads,
        "load_g": _round(batch.load_g),
        "lines": [
            {"ingredient": line.ingredient.key, "name": line.ingredient.name,
             "how_much": how_much(line, system), "measured_in": line.measured.vessel,
             "count": _round(line.measured.count), "grams": _round(line.grams),
             "recipe_asks_g": _round(line.exact_g)}
            for line in batch.lines
        ],
        "makes": makes(batch),
        "pieces": batch.pieces,
        "piece_g": _round(batch.mixing.piece_g),
        "left_over_g": _round(batch.left_over_g),
        "protein_moved_points": _round(batch.protein_moved),
        "protein": protein_rounding(batch),
        "protein_as_fed_pct": _range(batch.after.protein(AS_FED)),
        "cost": cost_said(batch),
        "keeping": told.keeping,
        "remarks": remarks_told(told.remarks),
        "sheet": sheet,
    }  # fmt: skip


def remarks_told(remarks: Iterable[Remark]) -> list[Document]:
    """Each remark with its reason, whom to ask and its source."""
    return [
        {"level": one.level, "rule": one.key, "line": one.line, "law": one.law or None, "why": one.why,
         "ask": one.ask, "about": list(one.about), "source": one.source, "read": one.read}
        for one in remarks
    ]  # fmt: skip


def _amino(told: Analysed) -> Document | None:
    score = told.told.amino
    if score is None:
        return None
    return {
        "pattern": score.pattern.label,
        "score": _range(score.score),
        "limiting": list(score.limiting),
        "each": [{"amino_acid": name, **_range(one)} for name, one in score.each.items()],
        "useful_protein_pct": _range(score.useful_protein),
        "not_reported_by": list(score.blank),
    }


def _dry(mix: Analysis) -> Document | None:
    return None if mix.dry_matter.high <= 0 else _protein(mix, DRY, DRY_OWN)


def _protein(mix: Analysis, crude: Basis, own: Basis) -> Document:
    return {"n_x_6_25": _range(mix.protein(crude)), "own_factor": _range(mix.protein(own))}


def _keeping(told: Keeping) -> Document:
    activity = None if told.activity is None else _range(told.activity)
    return {"water_activity": activity, "step": told.step, "sentence": told.sentence}


def _cost(cost: Cost) -> Document:
    return {
        "money": cost.money,
        "years": list(cost.years),
        "feed_per_kg": _range(cost.feed),
        "dry_matter_per_kg": _range(cost.dry_matter),
        "crude_protein_per_kg": None if cost.protein is None else _range(cost.protein),
        "without_a_price": list(cost.unpriced),
    }


def _target(target: Target) -> Document:
    return {"target": target.name, "unit": target.unit}


def _held(one: TargetHeld) -> Document:
    target = one.target
    return {
        **_target(target), "at_least": target.least, "at_most": target.most,
        **(_open() if one.value is None else _range(one.value)), "kept": one.kept,
    }  # fmt: skip


def _mix(mix: Solved | None) -> Document | None:
    if mix is None:
        return None
    names = {one.key: one.name for one in mix.problem.ingredients}
    return {
        "parts": [
            {"ingredient": part.ingredient.key, "name": names[part.ingredient.key],
             "share_pct": _round(100 * mix.shares[part.ingredient.key]), "grams": _round(part.grams),
             "bags": mix.bags.get(part.ingredient.key)}
            for part in mix.recipe.parts
        ],
        "money": mix.problem.money,
        "cost_per_kg": _round(mix.cost_per_kg),
        "batch_kg": None if mix.batch_kg is None else _round(mix.batch_kg),
        "batch_cost": None if mix.batch_cost is None else _round(mix.batch_cost),
        "targets": [_held(TargetHeld(one.target, one.value)) for one in mix.reached],
        "gap": _round(mix.gap),
        "stopped": mix.stopped,
    }  # fmt: skip


def _conflict(found: Conflict) -> Document:
    return {
        "proven": found.proven,
        "irreducible": found.irreducible,
        "members": [_member(one) for one in found.members],
        "gives": [
            {**_target(one.target), "side": one.side, "bound": _round(one.bound),
             "reached": _round(one.reached)}
            for one in found.gives
        ],
    }  # fmt: skip


def _member(one: Member) -> Document:
    told: Document = {"target": one.limit, "unit": None} if one.target is None else _target(one.target)
    return told | {"side": one.side, "enough_alone_at": None if one.alone is None else _round(one.alone),
                   "enough_alone": one.enough}  # fmt: skip


def _price_range(one: PriceRange) -> Document:
    return {"ingredient": one.key, "used": one.used, "price_per_kg": _round(one.price),
            "low": _round(one.low), "high": _round(one.high)}  # fmt: skip


def _next_best(one: NextBest | None) -> Document | None:
    if one is None:
        return None
    return {"without": one.without, "dearer_pct": _round(100 * one.dearer), "mix": _mix(one.solved)}


def _ratio(ratio: Ratio) -> Document:
    return {"low": _round(ratio.low), "high": _round(ratio.high), "not_reported_by": list(ratio.blank)}


def _range(content: Content) -> Document:
    return {"low": _round(content.low), "high": _round(content.high)}


def _known(column: Column, what: str) -> Document:
    """A value of a comparison; an end that a label or a missing price leaves open is none."""
    value = column.values[what]
    known = _open() if value is None else _range(value)
    if what in column.at_least:
        known["high"] = None
    if what in column.at_most:
        known["low"] = None
    return known


def _open() -> Document:
    return {"low": None, "high": None}


def _round(value: float | None) -> float | None:
    """Six figures, and nothing where there is no end."""
    return None if value is None or not isfinite(value) else float(f"{value:.6g}")
