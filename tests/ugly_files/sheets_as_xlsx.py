"""The ugly workbooks and what is expected of each. All invented."""

from __future__ import annotations

from datetime import date

from tests.ugly_files.sheets_made import (
    HEAD,
    MARCH,
    ROW,
    XLSX,
    Day,
    Formula,
    Share,
    Tab,
    Ugly,
    asked,
    bomb,
    workbook,
)

DMY, MDY = asked(order="day-month"), asked(order="month-day")
COMMA, POINT = asked(decimal="comma"), asked(decimal="point")
BREAD = {"yard": "Mill Lane", "frames_of_bees": 7.5, "day": date(2026, 3, 4), "colony": "12"}
LONG = "x" * 6000
MORE = ("Mill Lane", "12", "2026-03-06", 8)

UGLY_WORKBOOKS: dict[str, Ugly] = {
    "a workbook": Ugly(workbook(Tab("Spring", [HEAD, ROW])), name=XLSX, reads=BREAD, says="Spring"),
    "a workbook's own days": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", 12, Day(MARCH), 7.5)])), name=XLSX, reads=BREAD
    ),
    "days from 1904": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", 12, Day(MARCH - 1462), 7.5)]), from_1904=True),
        name=XLSX,
        reads=BREAD,
        says="1904",
    ),
    "a day's number as a number": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", 12, MARCH, 7.5)])), name=XLSX, mends=((2, "number of a day"),)
    ),
    "a number shown with a % sign": Ugly(
        workbook(Tab("S", [("yard", "hive", "date", "mites"), (*ROW[:3], Share(0.035))])),
        asked(units={"mites_per_100": "per 100 bees"}),
        name=XLSX,
        mends=((2, "“3.5%”"),),
    ),
    "a day where a number goes": Ugly(
        workbook(Tab("S", [(*HEAD, "brood"), (*ROW, Day(MARCH))])),
        name=XLSX,
        mends=((2, "is a day, not a number"),),
    ),
    "merged heads, two rows of them": Ugly(
        workbook(Tab("S", [("Visits", None, None, "Counted"), HEAD, ROW], merged=("A1:C1",))),
        name=XLSX,
        reads=BREAD,
        says="row 2",
    ),
    "a yard in merged cells": Ugly(
        workbook(Tab("S", [HEAD, ROW, (None, "13", "2026-03-04", 8)], merged=("A2:A3",))),
        name=XLSX,
        mends=((3, "merged"),),
    ),
    "a hidden sheet": Ugly(
        workbook(Tab("Old", [HEAD, ROW], hidden=True), Tab("New", [HEAD, ROW])),
        name=XLSX,
        reads=BREAD,
        says="Hidden sheets are left out: Old",
    ),
    "a hidden sheet that is asked for": Ugly(
        workbook(Tab("Old", [HEAD, ROW], hidden=True), Tab("New", [HEAD])),
        asked(sheet="Old"),
        name=XLSX,
        reads=BREAD,
        says="Read from the sheet “Old”.",
    ),
    "hidden rows": Ugly(
        workbook(Tab("S", [HEAD, ROW, MORE, (), (*MORE[:2], "2026-03-05", 5)], unseen=(3, 4, 5))),
        name=XLSX,
        rows=3,
        says="2 rows of the sheet are hidden (rows 3, 5) and are taken like the others.",
    ),
    "hidden columns": Ugly(
        workbook(
            Tab(
                "S",
                [(*HEAD, "note"), (*ROW, "x")],
                columns='<col min="3" max="3" width="9" hidden="1"/>'
                '<col min="4" max="5" width="0"/><col min="6" max="16384" hidden="1"/>',
            )
        ),
        name=XLSX,
        reads=BREAD,
        says="3 columns of the sheet are hidden (columns C, D, E) and are taken like the others.",
    ),
    "two sheets": Ugly(
        workbook(Tab("A", [HEAD, ROW]), Tab("B", [HEAD, ROW])), name=XLSX, refused="2 sheets have rows"
    ),
    "two sheets, one said": Ugly(
        workbook(Tab("A", [("x",)]), Tab("B", [HEAD, ROW])), asked(sheet="B"), name=XLSX, reads=BREAD
    ),
    "a sheet that is not there": Ugly(
        workbook(Tab("A", [HEAD, ROW])), asked(sheet="C"), name=XLSX, refused="no sheet"
    ),
    "an empty workbook": Ugly(workbook(Tab("A", [])), name=XLSX, refused="nothing in it"),
    "a formula with its value": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", "12", "2026-03-04", Formula("3+4.5", "7.5"))])),
        name=XLSX,
        reads=BREAD,
    ),
    "a formula without its value": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", "12", "2026-03-04", Formula("3+4.5"))])),
        name=XLSX,
        mends=((2, "formula without a value"),),
    ),
    "a formula that failed": Ugly(
        workbook(Tab("S", [HEAD, ("Mill Lane", "12", "2026-03-04", Formula("1/0", "#DIV/0!"))])),
        name=XLSX,
        mends=((2, "error of one"),),
    ),
    "a workbook cut short": Ugly(workbook(Tab("A", [HEAD, ROW]))[:900], name=XLSX, refused="cannot be read"),
    "a packed file that is no workbook": Ugly(b"PK\x05\x06" + b"\0" * 18, name=XLSX, refused="no workbook"),
    "a zip bomb": Ugly(bomb(), name=XLSX, refused="unpacks to"),
}
