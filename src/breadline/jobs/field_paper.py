"""Paper of the yard from a book: tally sheets and hive tags, both in walking order."""

from __future__ import annotations

from breadline.errors import RecordError
from breadline.jobs.check_hives import check_rows
from breadline.jobs.field_book import POUNDS, FieldBook
from breadline.jobs.yards_named import key_named
from breadline.language import say
from breadline.records import yards
from breadline.records.engine import looking
from breadline.sheets.hive_tags import tags_printed
from breadline.sheets.labels import LabelSheet, label_sheets
from breadline.sheets.tally import Tally, TallyPaper, tally_sheets
from breadline.sheets.works import Work


class FieldPaper(FieldBook):
    """A book whose yards are printed."""

    def yard_named(self, name: str) -> str:
        """Key of a yard by its name, or by the key itself.

        Errors
        ------
        RecordError
            If there is none, or there are several of that name.
        """
        with looking(self._engine) as session:
            known = [(str(row.id), row.name) for row in yards.yards(session)]
        found = name if any(key == name for key, _ in known) else key_named(known, name)
        if found is None:
            names = ", ".join(told for _, told in known) or say("a yard; the book has none yet")
            raise RecordError(name, say("it is not in the book"), names, say("Name it as the book does"))
        return found

    def standing(self, yard_id: str) -> tuple[str, list[tuple[str, str]]]:
        """Name of a yard, with tag and place of each hive that stands there, in walking order."""
        name, rows = self.hives(yard_id)
        return name, [(one.tag, one.place) for one in rows if one.standing == "stands"]

    def in_pounds(self) -> bool:
        """Whether pieces are in pounds; then paper is Letter."""
        return self.pieces() == POUNDS

    def tally(self, yard_id: str, work: Work, paper: TallyPaper) -> bytes:
        """The tally sheets of a yard as PDF; blank rows where no hive is listed yet.

        Those of a feeding round say which hives are a check group's; no other does.
        """
        name, rows = self.standing(yard_id)
        means = tuple(words for _, words in self.meanings())
        told = Tally(name, work, tuple(rows), self.pieces(), means, self.operation_name, self.today,
                     self._check(yard_id, [tag for tag, _ in rows], work))  # fmt: skip
        return tally_sheets(told, paper)

    def _check(self, yard_id: str, tags: list[str], work: Work) -> dict[str, str]:
        """What check hives get, by tag, on the sheet of whoever feeds."""
        if work != "round":
            return {}
        check = check_rows(self, yard_id, self.today)
        found = {tag: check.get(tag.casefold(), check.get("*")) for tag in tags}
        return {tag: say("check: {gets}", gets=one.gets) for tag, one in found.items() if one is not None}

    def tags(self, yard_id: str, sheet: str, first: int = 1, cut_lines: bool = False) -> bytes:
        """The tags of a yard's hives as PDF.

        Errors
        ------
        RecordError
            If no hive is listed there, or the label sheet is not known.
        """
        name, rows = self.standing(yard_id)
        if not rows:
            raise RecordError(name, say("no hive is listed here yet"), say("hives in walking order"),
                              say("Write them down first: In the yard, hives by yard"))  # fmt: skip
        return tags_printed([tag for tag, _ in rows], sheet_named(sheet), self.today, first, cut_lines)


def sheet_named(name: str) -> LabelSheet:
    """A label sheet by its name.

    Errors
    ------
    RecordError
        If there is none of that name.
    """
    found = label_sheets().get(name)
    if found is None:
        raise RecordError(
            "label sheet",
            say("“{name}” is not known", name=name),
            ", ".join(label_sheets()),
            say("Choose one"),
        )
    return found
