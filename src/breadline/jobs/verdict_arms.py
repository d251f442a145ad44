"""Which rows are fed and which are the check group, by the words that people use."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import TrialError
from breadline.jobs.verdict_cells import Table
from breadline.jobs.verdict_columns import CHECK_WORDS, FED_WORDS, Columns, columns_of, plain, word_of
from breadline.language import say

MOST_ARMS = 4


@dataclass(frozen=True)
class Arms:
    """Names of the groups, the check group first, and which of them is compared with it."""

    names: tuple[str, ...]
    primary: int
    words: tuple[str, ...]  # as the file writes them, the check group first

    def of(self, word: str) -> int | None:
        """Which group a word means; None where it means none."""
        said = plain(word)
        if said in self.words:
            return self.words.index(said)
        if word_of(word) in CHECK_WORDS:
            return 0
        return 1 if word_of(word) in FED_WORDS and len(self.words) == 2 else None


def all_fed(table: Table) -> bool:
    """Whether every colony stands in the one fed group, so that there is nothing to compare with."""
    place = columns_of(table).at["arm"]
    return {word_of(cells[place]) for _, cells in table.rows} <= FED_WORDS


def arms_of(table: Table, columns: Columns, check: str, primary: str) -> tuple[Arms, tuple[int, ...]]:
    """The groups, and the group of each row.

    Parameters
    ----------
    table, columns
        The file.
    check, primary
        What people say the check group and the fed group compared are called; "" where plain.

    Errors
    ------
    TrialError
        If a row has no group, the check group cannot be told, or there are more than four.
    """
    place = columns.at["arm"]
    where = f"{table.name}, column {table.heads[place]}"
    words = [plain(cells[place]) for _, cells in table.rows]
    blank = [str(line) for (line, _), word in zip(table.rows, words, strict=True) if not word]
    if blank:
        raise TrialError(
            where, say("no group in row {rows}", rows=", ".join(blank[:12])), say("a group for every colony")
        )
    there = sorted(set(words), key=words.index)
    checked = [word for word in there if (word == plain(check) if check else word_of(word) in CHECK_WORDS)]
    fed = [word for word in there if word not in checked]
    _refuse_unclear(where, there, checked, fed)
    order = (checked[0], *fed)
    first = 1
    if primary:
        if plain(primary) not in fed:
            raise TrialError(where, say("no group is called “{name}”", name=primary), ", ".join(fed), "")
        first = order.index(plain(primary))
    elif len(fed) > 1:
        raise TrialError(
            where,
            say("there are {n} fed groups: {names}", n=len(fed), names=", ".join(fed)),
            say("one of them, fixed before the draw"),
            say('Say which one is compared with {check}: --primary "{fed}"', check=checked[0], fed=fed[0]),
        )
    typed = {
        word: cells[place].strip() for (_, cells), word in zip(table.rows[::-1], words[::-1], strict=True)
    }
    own = tuple(typed[word] for word in fed)  # as it stands in the first row that has it
    names = ("check", *(("fed",) if len(fed) == 1 and word_of(fed[0]) in FED_WORDS else own))
    return Arms(names, first, order), tuple(order.index(word) for word in words)


def _refuse_unclear(where: str, there: list[str], checked: list[str], fed: list[str]) -> None:
    if len(there) < 2:
        raise TrialError(
            where,
            say("all colonies are “{name}”", name=there[0]),
            say("a check group and a fed group"),
            say("Without unfed colonies there is no comparison: nobody can say it paid"),
        )
    if len(there) > MOST_ARMS:
        raise TrialError(
            where, say("{n} groups", n=len(there)), say("at most {n}, the check group counted", n=MOST_ARMS)
        )
    if len(checked) != 1 or not fed:
        raise TrialError(
            where,
            say("which group is the check group can’t be told from {names}", names=", ".join(there)),
            say("check, unfed or no"),
            say('Say it: --check "{name}"', name=there[0]),
        )
