"""What a sheet has to mend is told so that a person can read it. All invented."""

from __future__ import annotations

from breadline.jobs.bring_in_told import some
from breadline.jobs.sheet_read import Fault


def test_one_fault_of_many_rows_is_said_once():
    queen = [Fault(n, "Queen", "is of a hive, and no colony is named", "Name the hive") for n in range(2, 26)]
    apart = [Fault(n, "Day", "is no date", "Write it") for n in (3, 9, 12)]
    told = some([*queen, *apart, Fault(0, "", "no head was found", "")])
    assert told == [
        "rows 2 to 25, column Queen: is of a hive, and no colony is named. Name the hive.",
        "rows 3, 9, 12, column Day: is no date. Write it.",
        "the sheet: no head was found.",
    ]
    many = [Fault(n, "Day", "is no date", "") for n in range(2, 60, 3)]
    assert some(many) == ["rows 2, 5, 8, 11, 14, 17, 20, 23 and 12 more, column Day: is no date."]
