"""The catalogues hold every message, whole and of today; converted templates hold no bare word."""

from __future__ import annotations

import pytest
from scripts import catalogue

from breadline.web.views import TEMPLATES
from house import tree
from house.template_words import bare_words

LIST = tree.ROOT / "tests" / "house" / "not_yet_in_the_catalogue.txt"
MOST = 44  # templates on the list when it was last cut; it only shrinks
DO = "run ./scripts/catalogue and translate what it names"


def waiting() -> set[str]:
    """Templates whose words do not go through the catalogue yet."""
    return {line.strip() for line in LIST.read_text("utf-8").splitlines() if line.strip() and line[0] != "#"}


@pytest.fixture(scope="module", params=catalogue.OTHERS)
def of(request):
    return request.param, catalogue.brought_up(request.param)


def test_nothing_is_missing_doubtful_or_has_other_fields(of):
    _, brought_up = of
    assert len(brought_up) > 500
    assert catalogue.faults(brought_up) == [], DO


def test_what_is_kept_is_of_today(of):
    code, brought_up = of
    kept = catalogue.path_of(code)
    assert kept.read_bytes() == catalogue.written(brought_up), DO
    assert kept.with_suffix(".mo").read_bytes() == catalogue.compiled(brought_up), DO
    assert (catalogue.LOCALE / code / "phone.json").read_text("utf-8") == catalogue.for_phones(brought_up), DO


def test_a_fault_is_seen():
    made = catalogue.Catalog(locale="es")
    made.add("{yard} is short", "A {apiario} le falta")
    made.add("<b>{n}</b> left", "quedan {n}")
    made.add("Feed now")
    made.add(("{n} hive", "{n} hives"), ("{n} colmena", ""))
    assert [fault.partition(":")[0] for fault in catalogue.faults(made)] == [
        "other fields", "other fields", "missing", "missing",
    ]  # fmt: skip


@pytest.mark.parametrize("path", sorted(TEMPLATES.glob("*.html")), ids=lambda path: path.name)
def test_a_template_holds_bare_words_only_while_it_is_on_the_list(path):
    words = bare_words(path)
    if path.name in waiting():
        assert words, f"{path.name} is converted: take it off the list"
    else:
        assert words == [], "put it through the catalogue"


def test_the_list_only_shrinks():
    assert len(waiting()) <= MOST
    assert waiting() <= {path.name for path in TEMPLATES.iterdir()}
