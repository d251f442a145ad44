"""A keeper's own figures, kept beside the shipped ones, with the reason, and undone at any time."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.knowledge.shelf import Edit
from breadline.language import say
from breadline.records.append_only import current, put_in_place, withdraw
from breadline.records.storable import storable
from breadline.records.tables import FigureEdit


def edit(session: Session, key: str, own: Edit) -> FigureEdit:
    """Use the keeper's own figure from now on; an earlier edit of it stays in the history.

    Whether the key is on the shelf and the edit possible, the shelf says when it loads.

    Errors
    ------
    RecordError
        If a number is not finite.
    """
    storable(own, key)
    row = FigureEdit(figure=key, low=own.low, typical=own.typical, high=own.high, on=own.on, because=own.why)
    old = _current(session, key)
    if old is not None:
        return put_in_place(session, old, row)
    session.add(row)
    session.flush()
    return row


def undo(session: Session, key: str, because: str = "") -> None:
    """Go back to the shipped figure.

    Errors
    ------
    RecordError
        If the figure is not edited.
    """
    old = _current(session, key)
    if old is None:
        raise RecordError(
            key, say("this figure is not edited"), say("an edited figure"), say("See the list of figures")
        )
    withdraw(session, old, because)


def current_edits(session: Session) -> dict[str, Edit]:
    """The edits that hold now, by figure key, as the shelf takes them."""
    return {row.figure: as_edit(row) for row in session.scalars(current(FigureEdit))}


def edit_history(session: Session, key: str) -> list[FigureEdit]:
    """Every edit and undoing of one figure, oldest first."""
    return list(session.scalars(select(FigureEdit).where(FigureEdit.figure == key).order_by(FigureEdit.id)))


def as_edit(row: FigureEdit) -> Edit:
    """A row as the shelf's edit."""
    return Edit(low=row.low, typical=row.typical, high=row.high, why=row.because, on=row.on)


def _current(session: Session, key: str) -> FigureEdit | None:
    return session.scalar(current(FigureEdit).where(FigureEdit.figure == key))
