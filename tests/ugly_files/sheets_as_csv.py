"""The ugly spreadsheets and what is expected of each. All invented."""

from __future__ import annotations

from datetime import date

from breadline.jobs.sheet_read import SheetAsked
from tests.ugly_files.sheets_made import (
    FULL,
    HEADS,
    MARCH,
    SOUND,
    Ugly,
    asked,
    csv,
)

DMY, MDY = asked(order="day-month"), asked(order="month-day")
COMMA, POINT = asked(decimal="comma"), asked(decimal="point")
BREAD = {"yard": "Mill Lane", "frames_of_bees": 7.5, "day": date(2026, 3, 4), "colony": "12"}
LONG = "x" * 6000

UGLY_CSV: dict[str, Ugly] = {
    "a sound one": Ugly(SOUND.encode(), reads=BREAD, rows=1),
    "a BOM": Ugly(b"\xef\xbb\xbf" + SOUND.encode(), reads=BREAD),
    "UTF-16": Ugly(SOUND.encode("utf-16"), reads=BREAD, says="UTF-16"),
    "UTF-16 broken off": Ugly(SOUND.encode("utf-16")[:-1], refused="broken off"),
    "Windows letters": Ugly(
        csv(HEADS + ",note", "Mill Lane,12,2026-03-04,7.5,Königin", encoding="cp1252"),
        reads=BREAD | {"note": "Königin"},
        says="cp1252",
    ),
    "semicolons": Ugly(SOUND.replace(",", ";").encode(), reads=BREAD),
    "tabs": Ugly(SOUND.replace(",", "\t").encode(), reads=BREAD),
    "semicolons and decimal commas": Ugly(
        SOUND.replace(",", ";").replace("7.5", "7,5").encode(), asks=("decimal",)
    ),
    "decimal commas, as asked": Ugly(
        SOUND.replace(",", ";").replace("7.5", "7,5").encode(), COMMA, reads=BREAD
    ),
    "both decimal signs": Ugly(
        csv("yard;hive;date;frames", "Mill Lane;12;2026-03-04;7,5", "Mill Lane;13;2026-03-04;8.5"),
        COMMA,
        mends=((3, "does not fit decimal commas"),),
    ),
    "thousand separators": Ugly(
        csv("yard;hive;date;put on", "Mill Lane;12;2026-03-04;1,250"),
        asked(units={"put_on": "g"}),
        asks=("decimal",),
    ),
    "thousand separators, as asked": Ugly(
        csv("yard;hive;date;put on", "Mill Lane;12;2026-03-04;1,250"),
        asked(units={"put_on": "g"}, decimal="point"),
        reads={"put_on": 1250.0},
    ),
    "a point before three digits": Ugly(
        csv("yard,hive,date,weight", "Mill Lane,12,2026-03-04,1.500"),
        asked(units={"weight": "kg"}),
        asks=("decimal",),
    ),
    "CR line ends": Ugly(SOUND.replace("\n", "\r").encode(), reads=BREAD),
    "CR LF line ends": Ugly(SOUND.replace("\n", "\r\n").encode(), reads=BREAD),
    "blank rows": Ugly(
        csv("", HEADS, "", ",,,", "Mill Lane,12,2026-03-04,7.5", "", ",,,"), reads=BREAD, rows=1
    ),
    "an empty file": Ugly(b"", refused="empty"),
    "only blanks": Ugly(b" \n\n \n", refused="empty"),
    "heads alone": Ugly(csv(HEADS), refused="no row under the heads"),
    "one column": Ugly(csv("hive", "12", "13"), asks=("yard",)),
    "no heads": Ugly(
        csv("Mill Lane,12,2026-03-04,7.5", "Mill Lane,13,2026-03-04,8"), refused="no column says"
    ),
    "a title above": Ugly(
        csv("Inspections of spring", "", HEADS, "Mill Lane,12,2026-03-04,7.5"), reads=BREAD, says="row 3"
    ),
    "a NUL": Ugly(SOUND.encode().replace(b"7.5", b"7\x005"), refused="no text"),
    "a NUL far down": Ugly(
        SOUND.encode() + b"Mill Lane,13,2026-03-04,8\n" * 200 + b"Mill\0 Lane,1,2026-03-04,8\n", refused="NUL"
    ),
    "a very long cell": Ugly(
        csv(HEADS + ",note", f"Mill Lane,12,2026-03-04,7.5,{LONG}"), refused="6,000 letters"
    ),
    "a quote never closed": Ugly(
        (SOUND.replace("Mill", '"Mill') + "Mill Lane,13,2026-03-04,8\n" * 300).encode(), refused="quote"
    ),
    "a quote never closed, and few rows after it": Ugly(
        csv(HEADS + ",note", 'Mill Lane,12,2026-03-04,7.5,"calm', "Mill Lane,13,2026-03-04,8,"),
        refused="row 2: a quote is opened and not closed",
    ),
    "a quote that the next one closes rows later": Ugly(
        csv(HEADS + ",note", 'Mill Lane,12,2026-03-04,7.5,"calm', 'Mill Lane,13,2026-03-04,8,"mild"'),
        refused="row 2: a quote is opened and not closed",
    ),
    "a quote never closed in the last row": Ugly(
        csv(HEADS + ",note,brood", 'Mill Lane,12,2026-03-04,7.5,"calm,4'), refused="not closed"
    ),
    "inches and a note of two lines": Ugly(
        csv(HEADS + ",note", 'Mill Lane,12,2026-03-04,7.5,9" box', 'Mill Lane,13,2026-03-04,8,"one\ntwo"'),
        reads=BREAD,
        rows=2,
    ),
    "quotes round everything": Ugly(
        csv('"yard","hive","date","frames"', '"Mill Lane","12","2026-03-04","7.5"'), reads=BREAD
    ),
    "a row too long": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,7.5,,,,"), reads=BREAD),
    "a row too short": Ugly(
        csv(HEADS, "Mill Lane,12,2026-03-04,7.5", "Mill Lane,13"), mends=((3, "the day is missing"),)
    ),
    "text in numbers": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,seven"), mends=((2, "no number"),)),
    "units in numbers": Ugly(
        csv("yard,hive,date,weight", "Mill Lane,12,2026-03-04,41 kg", "Mill Lane,13,2026-03-04,88 lb"),
        asked(units={"weight": "kg"}),
        mends=((2, "carries a unit"), (3, "carries a unit")),
    ),
    "a percent sign": Ugly(
        csv("yard,hive,date,mites", "Mill Lane,12,2026-03-04,3%"),
        asked(units={"mites_per_100": "per 100 bees"}),
        mends=((2, "% sign"),),
    ),
    "below nought": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,-2"), mends=((2, "below nought"),)),
    "not possible": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,750"), mends=((2, "not possible"),)),
    "units not said": Ugly(
        csv("yard,hive,date,bread,weight", "Mill Lane,12,2026-03-04,1,40"),
        SheetAsked(new_colonies=True),
        asks=("unit:bread", "unit:weight"),
    ),
    "a wash of 300 bees": Ugly(
        csv("yard,hive,date,mites", "Mill Lane,12,2026-03-04,9"),
        asked(units={"mites_per_100": "in a wash of 300 bees"}),
        reads={"mites_per_100": 3.0},
    ),
    "31 February": Ugly(csv(HEADS, "Mill Lane,12,31/02/2026,7.5"), asks=("order",)),
    "31 February, the day first": Ugly(
        csv(HEADS, "Mill Lane,12,31/02/2026,7.5"), DMY, mends=((2, "no such day"),)
    ),
    "days that can be two": Ugly(csv(HEADS, "Mill Lane,12,03/04/2026,7.5"), asks=("order",)),
    "days, the day first": Ugly(csv(HEADS, "Mill Lane,12,04/03/2026,7.5"), DMY, reads=BREAD),
    "days, the month first": Ugly(csv(HEADS, "Mill Lane,12,3/4/26,7.5"), MDY, reads=BREAD),
    "days that show their order": Ugly(
        csv(HEADS, "Mill Lane,12,04.03.2026,7.5", "Mill Lane,12,13.03.2026,8"), reads=BREAD, says="day first"
    ),
    "days in two orders": Ugly(
        csv(HEADS, "Mill Lane,12,13/03/2026,7.5", "Mill Lane,12,03/14/2026,8"),
        mends=((2, "could be two days"), (3, "could be two days")),
    ),
    "a day to come": Ugly(csv(HEADS, "Mill Lane,12,2062-03-04,7.5"), mends=((2, "still to come"),)),
    "a day in words": Ugly(csv(HEADS, "Mill Lane,12,4 March 2026,7.5"), reads=BREAD),
    "a time with the day": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04 09:30,7.5"), reads=BREAD),
    "a day's number in text": Ugly(csv(HEADS, f"Mill Lane,12,{MARCH},7.5"), mends=((2, "number of a day"),)),
    "no day at all": Ugly(csv(HEADS, "Mill Lane,12,spring,7.5"), mends=((2, "no day"),)),
    "a tag twice": Ugly(
        csv(HEADS, "Mill Lane,12,2026-03-04,7.5", "Mill Lane,12,2026-03-04,8"), mends=((3, "same as row 2"),)
    ),
    "colonies twice": Ugly(csv("yard,tag", "Mill Lane,12", "mill lane,12"), mends=((3, "same as row 2"),)),
    "a row of totals": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,7.5", "Total,,,7.5"), mends=((3, "totals"),)),
    "a mean at the end": Ugly(
        csv(HEADS, "Mill Lane,12,2026-03-04,7.5", ",Average,,7.5"), mends=((3, "totals"),)
    ),
    "a yard nobody knows": Ugly(csv(HEADS, "Mil Lane,12,2026-03-04,7.5"), mends=((2, "Is it Mill Lane?"),)),
    "a tag nobody knows": Ugly(
        csv(HEADS, "Mill Lane,99,2026-03-04,7.5"), SheetAsked(units=FULL), asks=("new-colonies",)
    ),
    "a tag misread": Ugly(
        csv(HEADS, "Mill Lane,99,2026-03-04,7.5"),
        SheetAsked(units=FULL, new_colonies=False),
        mends=((2, "no hive 99"),),
    ),
    "a hive that was merged": Ugly(csv(HEADS, "Mill Lane,7,2026-03-04,7.5"), mends=((2, "merged into 12"),)),
    "no yard said": Ugly(csv("hive,date,frames", "12,2026-03-04,7.5"), asks=("yard",)),
    "the yard said once": Ugly(
        csv("hive,date,frames", "12,2026-03-04,7.5"), asked(yard="Mill Lane"), reads=BREAD
    ),
    "a head twice": Ugly(csv(HEADS + ",frames", "Mill Lane,12,2026-03-04,7.5,9"), reads=BREAD),
    "heads in capitals with units": Ugly(
        csv("YARD , Hive No. ,DATE, Frames of bees (full)", "Mill Lane,12,2026-03-04,7.5"), reads=BREAD
    ),
    "halves and signs": Ugly(csv(HEADS + ",brood", "Mill Lane,12,2026-03-04,7½,n/a"), reads=BREAD),
    "a queen in words": Ugly(
        csv(HEADS + ",queen", "Mill Lane,12,2026-03-04,7.5,QNF 4F"), mends=((2, "no word for queen"),)
    ),
    "a queen of nobody": Ugly(
        csv("yard,date,frames,queen", "Mill Lane,2026-03-04,7.5,eggs"), mends=((2, "no colony is named"),)
    ),
    "a formula in a CSV": Ugly(csv(HEADS, "Mill Lane,12,2026-03-04,=A1*2"), mends=((2, "formula"),)),
    "an old .xls": Ugly(b"\xd0\xcf\x11\xe0" + b"\0" * 600, refused="old kind"),
    "a picture": Ugly(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + b"\0" * 90, refused="no text"),
    "yards twice": Ugly(
        csv("name,lat,lon,hives", "South,44,-93,8", "south,44.1,-93,9"), mends=((3, "same as row 2"),)
    ),
    "a yard that is known": Ugly(
        csv("name,lat,lon,hives", "Mill Lane,44,-93,8"), mends=((2, "says otherwise"),)
    ),
    "latitude and longitude swapped": Ugly(
        csv("name,lat,lon,hives", "South,-93.2,44.9,8"), mends=((2, "not possible"),)
    ),
    "half a colony": Ugly(csv("name,lat,lon,hives", "South,44,-93,8.5"), mends=((2, "not a whole number"),)),
    "degrees and minutes": Ugly(
        csv("name,lat,lon,hives", "South,44°30'N,-93,8"), mends=((2, "degrees and minutes"),)
    ),
}
