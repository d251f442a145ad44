"""Countries and regions in a sheet of yards: known by name, offered, or said. All invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.bring_in import brought_in, looked_over
from breadline.jobs.sheet_places import country_of, region_of
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yards_ready import ReadyBook
from breadline.language import speaking
from breadline.records import yards
from breadline.records.engine import looking, open_book
from breadline.records.tables import YardFact

TODAY = date(2026, 11, 26)


def sheet(country: str, region: str) -> bytes:
    return f"name,lat,lon,hives,country,region\nHome,-37.8,175.3,2,{country},{region}\n".encode()


def kept(path: Path, country: str, region: str) -> YardFact:
    brought_in(path, "yards.csv", sheet(country, region), SheetAsked(), TODAY)
    with looking(open_book(path)) as session:
        return yards.fact(session, yards.yards(session)[0].id)


@pytest.mark.parametrize(
    ("text", "code"),
    [("New Zealand", "NZ"), ("nz", "NZ"), ("NEW ZEALAND ", "NZ"), ("USA", "US"), ("United Kingdom", "GB"),
     ("uk", "GB"), ("the Netherlands", "NL"), ("Netherlands", "NL"), ("KE", "KE"), ("Neverland", None)],
)  # fmt: skip
def test_a_country_is_known_by_its_name_or_its_two_letters(text, code):
    assert country_of(text) == code


def test_a_country_by_name_and_the_key_of_a_calendar_are_taken(tmp_path):
    fact = kept(tmp_path / "book.db", "New Zealand", "new-zealand")
    assert (fact.country, fact.region, fact.notes) == ("NZ", "new-zealand", [])
    assert region_of("Upstate New York") == "upstate-new-york"


def test_a_region_is_named_and_known_in_the_readers_language_too(tmp_path):
    with speaking("es"):
        assert region_of("Islas Británicas") == region_of("British Isles") == "british-isles"
        seen = looked_over(tmp_path / "a.db", "y.csv", sheet("US", "Georgia Piedmont"), SheetAsked(), TODAY)
        assert "calendario inicial Piedemonte de Georgia" in " ".join(seen.told.said)
        offered = dict(ReadyBook(tmp_path / "a.db", TODAY).calendars())
        assert offered["georgia-piedmont"] == "Piedemonte de Georgia, US"


def test_a_region_without_a_calendar_is_said_with_those_that_would_fit(tmp_path):
    seen = looked_over(tmp_path / "a.db", "yards.csv", sheet("New Zealand", "Waikato"), SheetAsked(), TODAY)
    said = " ".join(seen.told.said)
    assert "Region Waikato of 1 yard is kept as a note" in said
    assert "New Zealand would fit" in said
    assert kept(tmp_path / "b.db", "New Zealand", "Waikato").notes == ["region: Waikato"]
    taken = looked_over(tmp_path / "a.db", "y.csv", sheet("NZ", "new-zealand"), SheetAsked(), TODAY)
    assert "bloom goes by the starter calendar New Zealand" in " ".join(taken.told.said)


def test_a_country_that_nobody_knows_is_asked_for(tmp_path):
    with pytest.raises(RecordError, match=r"not known as a country\. Write its two letters"):
        kept(tmp_path / "book.db", "Neverland", "")
