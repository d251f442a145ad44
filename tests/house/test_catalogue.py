"""The catalogues hold every message, whole and of today; converted templates hold no bare word."""

from __future__ import annotations

import re

import pytest
from scripts import catalogue

from breadline.language import for_phones, found, found_counted, say_as, speaking
from breadline.web.views import TEMPLATES
from house import tree
from house.template_words import bare_words

LIST = tree.ROOT / "tests" / "house" / "not_yet_in_the_catalogue.txt"
MOST = 0  # templates on the list when it was last cut; it only shrinks
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
    assert catalogue.path_of(code).read_bytes() == catalogue.written(brought_up), DO


def test_the_program_reads_a_catalogue_as_its_library_does(of):
    """Babel reads the same file: every message, with its context, its plural and its line ends."""
    code, brought_up = of
    with speaking(code):
        for one in brought_up:
            if isinstance(one.id, tuple):
                told = tuple(found_counted(*one.id, n) for n in (1, 2))
            elif one.id:
                told = say_as(one.context, one.id) if one.context else found(one.id)
            else:
                continue
            assert told == one.string
        phones = {one.id if isinstance(one.id, str) else one.id[0] for one in brought_up
                  if one.id and any(catalogue.PHONE in file for file, _ in one.locations)}  # fmt: skip
        assert for_phones().keys() == phones


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


LITERAL = re.compile(r'(say\(|sayCounted\(|", )?("(?:[^"\\\n]|\\.)*"|`[^`]*`)')
SENTENCE = re.compile(
    r"^[A-Z][a-z]+$|\b[a-z]{2,} [a-z]{2,} [a-z]{2,}\b|[a-z]{2,}[.?] ?$|[A-Z][a-z]+ [a-z]{2,}"
)


SPEAK = sorted(
    path for path in (TEMPLATES.parent / "static" / "field").glob("*.js") if path.name != "spoken.js"
)


@pytest.mark.parametrize("path", SPEAK, ids=lambda path: path.name)  # the one left out listens
def test_a_script_of_the_phone_says_nothing_past_the_catalogue(path):
    text = re.sub(r"/\*.*?\*/|(?<=\s)//[^\n]*", "", path.read_text("utf-8"), flags=re.S)
    bare = [told for call, told in LITERAL.findall(text) if not call and SENTENCE.search(told[1:-1])]
    assert bare == []


def test_the_list_only_shrinks():
    assert len(waiting()) <= MOST
    assert waiting() <= {path.name for path in TEMPLATES.iterdir()}
