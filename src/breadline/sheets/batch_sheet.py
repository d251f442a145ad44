"""The batch sheet on one page: what goes in, in which order, with boxes to tick."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from breadline.language import say
from breadline.ration.batch import Batch
from breadline.ration.batch_contents import (
    cost_said,
    pollen_said,
    protein_by_bucket,
    protein_rounding,
    protein_said,
)  # fmt: skip
from breadline.ration.batch_words import (
    about,
    bags_said,
    beside,
    bucket_said,
    how_much,
    lost,
    makes,
    mixing_steps,
    scale_checks,
    short,
    ticks,
    to_ask,
    weighs,
)  # fmt: skip
from breadline.sheets.letterhead import Paper as Paper
from breadline.sheets.letterhead import cut, letterhead, long_date
from breadline.sheets.printed import printed

LONGEST = {"name": 64, "line": 220}  # letters; what is longer ends in an ellipsis
MOST_CAUTIONS, MOST_BOXES = 8, 20


@dataclass(frozen=True)
class Heading:
    """What the sheet says of itself.

    Parameters
    ----------
    number, on
        Batch number and date, as they go on every box.
    version
        The recipe's version, such as "version 3, 18 August 2026".
    meant_for
        Yards and round, in the user's words; may be empty.
    cautions
        What the mixing room must mind; see ``batch_cautions.mixing_room_lines``.
    keeping
        How long it keeps and how to store it; may be empty.
    """

    number: str
    on: date
    version: str = ""
    meant_for: str = ""
    cautions: tuple[str, ...] = ()
    keeping: str = ""


def batch_sheet(batch: Batch, heading: Heading, paper: Paper) -> bytes:
    """The sheet as a tagged PDF of exactly one page.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``.
    """
    return printed("batch_sheet.typ", batch_sheet_data(batch, heading, paper), heading.on)


def batch_sheet_data(batch: Batch, heading: Heading, paper: Paper) -> dict[str, Any]:
    """Everything the sheet says, as plain data; its words are never markup."""
    called = cut(batch.recipe.name)
    title = say("{name}, one mixer load", name=called)
    if batch.loads > 1:
        title = say("{name}, one of {loads} loads", name=called, loads=batch.loads)
    first, bold, rest = makes(batch).partition(about(batch.finished_g, batch.mixing.system))
    head = say("Batch sheet · {number} · {day}", number=cut(heading.number, 30), day=long_date(heading.on))
    return {
        **letterhead(paper, head),
        "title": title,
        "makes": {"first": first, "bold": bold, "rest": rest},
        "more": [cut(said, 300) for said in (short(batch), lost(batch), _meant_for(heading)) if said],
        "note": _note(batch),
        "columns": [say("Goes in, in this order"), say("How much"), say("Weighs"), say("Tick each one")],
        "lines": _rows(batch),
        "checks": _checks(batch),
        "steps": {"head": say("Mix and press"), "rows": [cut(said, 160) for said in mixing_steps(batch)]},
        "cautions": [cut(said, LONGEST["line"]) for said in heading.cautions[:MOST_CAUTIONS]],
        "facts": _facts(batch, heading),
        "notes": say("Added, changed, left over"),
        "signs": [say("Mixed by"), say("Time"), say("Pieces made")],
        "load": say("Load no. (of {loads})", loads=batch.loads) if batch.loads > 1 else "",
        "foot": _foot(batch, heading),
    }  # fmt: skip


def _meant_for(heading: Heading) -> str:
    if not heading.meant_for.strip():
        return ""
    return say("For {what}.", what=heading.meant_for.rstrip("."))


def _note(batch: Batch) -> dict[str, str]:
    rest = [say("Tick each one off.")]
    if any(line.measured.vessel == "buckets" for line in batch.lines):
        rest = [bucket_said(batch), say("Tick a box for each one.")]
        if len({line.wet for line in batch.lines}) == 2:
            rest.append(say("Wet and dry buckets stay apart."))
    if batch.loads > 1:
        rest.append(say("Amounts are for one load: mix it {n} times, a fresh sheet each.", n=batch.loads))
    return {
        "first": say("Measure everything out and line it up before the mixer starts."),
        "rest": cut(" ".join(rest), 320),
    }


def _rows(batch: Batch) -> list[dict[str, Any]]:
    system, lines = batch.mixing.system, batch.lines
    following = [*lines[1:], lines[-1]]
    return [
        {
            "n": n, "name": cut(line.ingredient.name), "how": how_much(line, system),
            "weighs": weighs(line, system), "beside": beside(line, system),
            "ticks": _boxes(ticks(line)), "last_of_its_kind": line.wet != after.wet,
        }
        for n, (line, after) in enumerate(zip(lines, following, strict=True), start=1)
    ]  # fmt: skip


def _boxes(labels: tuple[str, ...]) -> list[str]:
    """At most so many boxes; the last one then says how many more."""
    if len(labels) <= MOST_BOXES:
        return list(labels)
    return [*labels[: MOST_BOXES - 1], f"+{len(labels) - MOST_BOXES + 1}"]


def _checks(batch: Batch) -> dict[str, Any]:
    rows = [{"name": cut(name), "weight": weight} for name, weight in scale_checks(batch)]
    ask = cut(to_ask(batch), 300)
    before = say("Weigh one full bucket of each once a day, the bucket itself taken off.")
    if not rows:
        before = ask or say("Everything is weighed. Set the scale to nought with the empty bucket on it.")
    after = say("Outside the range? Go by weight, not by bucket.")
    return {
        "head": say("Check on the scale"), "before": before, "rows": rows,
        "columns": [say("A full bucket of"), say("should weigh"), say("yours")],
        "after": f"{after} {ask}".strip(),
    }  # fmt: skip


def _facts(batch: Batch, heading: Heading) -> list[tuple[str, str]]:
    rounding = (protein_rounding(batch), protein_by_bucket(batch))
    told = [
        (say("Protein"), protein_said(batch)),
        (say("Rounding"), " ".join(said for said in rounding if said)),
        (say("Real pollen"), pollen_said(batch)),
        (say("Cost"), cost_said(batch)),
        (say("From the store"), _listed(bags_said(batch), 360)),
        (say("Keeping"), heading.keeping),
    ]
    return [(label, _sentence(cut(said, 600))) for label, said in told if said.strip()]


def _sentence(said: str) -> str:
    return said[0].upper() + said[1:] + ("" if said.endswith((".", ".)", "…")) else ".")


def _listed(items: list[str], longest: int) -> str:
    """As many as fit, and how many more there are."""
    shown = [item for n, item in enumerate(items) if len("; ".join(items[: n + 1])) <= longest]
    left = len(items) - len(shown)
    return "; ".join([*shown, say("and {n} more, on the screen", n=left)] if left else shown)


def _foot(batch: Batch, heading: Heading) -> str:
    called = cut(batch.recipe.name)
    if not heading.version.strip():
        return say("Recipe “{name}”. Amounts are rounded as a mixing room measures.", name=called)
    return say(
        "Recipe “{name}”, {version}. Amounts are rounded as a mixing room measures.",
        name=called,
        version=cut(heading.version, 60),
    )
