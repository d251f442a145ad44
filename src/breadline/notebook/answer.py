"""What every answer in a notebook has: its sentence first, and the whole of it as the commands print it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from html import escape
from typing import Any

from breadline.notebook.table import Table, table_of


@dataclass(frozen=True)
class InWords:
    """An answer: the sentence the user came for, and the document that ``--json`` prints.

    Parameters
    ----------
    sentence
        The answer in one sentence.
    document
        The whole answer; its shape is on the page of all commands.
    """

    sentence: str
    document: Mapping[str, Any] = field(repr=False)

    def __str__(self) -> str:
        return self.sentence

    def _repr_html_(self) -> str:
        """The sentence, as a notebook shows it."""
        return f"<p><strong>{escape(self.sentence)}</strong></p>"

    def table(self, part: str) -> Table:
        """A list of the document as a table, such as ``figures``; a part of a part is ``plans.0.rounds``.

        Errors
        ------
        KeyError
            If the document has no such part.
        """
        at: Any = self.document
        for step in part.split("."):
            at = at[int(step)] if isinstance(at, list) else at[step]
        return table_of(at or ())


def days(of: Table, *columns: str) -> Table:
    """The table with these columns as days, which a document writes as texts."""
    return Table(
        {
            name: [date.fromisoformat(v) if isinstance(v, str) else v for v in column]
            if name in columns
            else column
            for name, column in of.items()
        }
    )
