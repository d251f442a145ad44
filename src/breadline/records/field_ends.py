"""What the row of hives says of an end, in the check group that runs there; never over another end."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.colonies import InRow
from breadline.records.field_trials import Running, against, ended_of, keep, take_away


def row_ended(
    session: Session, before: InRow, standing: str, on: date, into: UUID | None, again: bool = False
) -> None:
    """Write an end of the row of hives into the running check group; ``before`` is what the row said.

    What is said ``again`` takes nothing away first.

    Errors
    ------
    RecordError
        If the check group has another end of the hive, which is changed there, with its reason.
    """
    runs = Running(session)
    if not again and before.standing != "stands" and before.since is not None:
        was = ended_of(runs, before.id, before.standing, before.since, None)
        if was is not None:
            take_away(runs, was, f"the row of hives says: {standing}")
    told = ended_of(runs, before.id, standing, on, into)
    if told is None:
        return
    has = against(runs, told)
    if has:
        raise RecordError(
            f"hive {before.tag}", has, say("one end for each colony"),
            say("Correct it on the page Check group first, with the reason"),
        )  # fmt: skip
    keep(runs, told, "written down in the row of hives")
