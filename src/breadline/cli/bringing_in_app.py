"""The words of ``breadline import`` as they are typed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

COLUMN = Annotated[
    list[str] | None, typer.Option("--column", help="What a column is: HEAD=FIELD, or HEAD=(leave out).")
]
UNIT = Annotated[list[str] | None, typer.Option("--unit", help="The unit of a column: bread=frames.")]
SAME = Annotated[
    bool | None,
    typer.Option(
        "--same-feed/--no-same-feed", help="Whether a yard's average is what its hives were fed that day."
    ),
]
NEW = Annotated[
    bool | None, typer.Option("--new-colonies/--no-new-colonies", help="Whether unknown tags are new hives.")
]


def bring_in(
    book: Annotated[str, typer.Argument(help="The book of records; made if it is not there.")],
    file: Annotated[Path, typer.Argument(help="A CSV or XLSX sheet; or the JSON of a whole book.")],
    holds: Annotated[str | None, typer.Option(help="yards, colonies or readings.")] = None,
    sheet: Annotated[str, typer.Option(help="Which sheet of a workbook.")] = "",
    head_row: Annotated[int | None, typer.Option(min=1, help="Number of the row with the heads.")] = None,
    column: COLUMN = None,
    decimal: Annotated[str | None, typer.Option(help="point or comma.")] = None,
    days: Annotated[str | None, typer.Option(help="day-month or month-day, which comes first.")] = None,
    unit: UNIT = None,
    yard: Annotated[str, typer.Option(help="The yard of rows that name none.")] = "",
    new_colonies: NEW = None,
    same_feed: SAME = None,
    look: Annotated[bool, typer.Option("--look", help="Show what was understood and stop.")] = False,
    mend: Annotated[Path | None, typer.Option(help="Write the rows with what to mend (CSV).")] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print one JSON document and nothing else.")
    ] = False,
) -> None:
    """Bring in yards, colonies or readings from a spreadsheet: all of it or nothing, and never twice."""
    from breadline.cli import bringing_in as command
    from breadline.cli.verdict import one_of
    from breadline.jobs.sheet_read import SheetAsked

    said: dict[str, Any] = {
        "holds": holds and one_of("--holds", holds, ("yards", "colonies", "readings")),
        "decimal": decimal and one_of("--decimal", decimal, ("point", "comma")),
        "order": days and one_of("--days", days, ("day-month", "month-day")),
    }
    asked = SheetAsked(
        sheet=sheet, head=head_row, columns=command.pairs(column, "--column"), yard=yard,
        units=command.pairs(unit, "--unit"), new_colonies=new_colonies, same_feed=same_feed, **said,
    )  # fmt: skip
    raise typer.Exit(command.run(command.Asking(book, file, asked, look, mend, as_json)))
