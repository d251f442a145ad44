"""``breadline rounds``: search, plan, sheet and stop, break-even first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.status import Status

from breadline.cli.printed import FIRST_SEASON, say, shown, told
from breadline.jobs.rounds import SEED, RoundsAnswer, Way, rounds_from_files
from breadline.jobs.rounds_told import rounds_document, rounds_lines
from breadline.plan.search import Look


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    yards: tuple[Path, ...]
    weather: Path
    plan: Path | None
    figures: Path | None
    seed: int | None
    as_json: bool


def search(asking: Asking) -> None:
    """Print the plans of each yard."""
    answers = searched(asking)
    if asking.as_json:
        shown(rounds_document(answers))
        return
    for n, one in enumerate(answers):
        if n:
            say("")
        told(rounds_lines(one))


def searched(asking: Asking) -> list[RoundsAnswer]:
    """The answer of each yard, with progress on standard error."""
    answers = []
    with Console(stderr=True).status(
        f"Reading the weather and running the seasons {FIRST_SEASON} …"
    ) as status:
        for n, yard in enumerate(asking.yards, 1):
            lead = f"Yard {n} of {len(asking.yards)}: " if len(asking.yards) > 1 else ""
            way = Way(SEED if asking.seed is None else asking.seed, on_look=_progress(status, lead))
            answers.append(rounds_from_files(yard, asking.weather, asking.plan, asking.figures, way))
    return answers


def _progress(status: Status, lead: str) -> Callable[[Look], None]:
    def on_look(look: Look) -> None:
        status.update(f"{lead}{look.plans:,} plans tried in {look.members:,} seasons …")

    return on_look
