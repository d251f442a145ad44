"""The trial file is open: its schema is published, every key has its word, others can make its seal."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import jsonschema
import pytest

from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_shape import schema
from house import tree
from jobs.travelled import finished, text

PAGE = (tree.ROOT / "docs" / "guide" / "trial-file.md").read_text("utf-8")
PUBLISHED = tree.ROOT / "docs" / "schema" / "trial-1.schema.json"
EXAMPLE = tree.ROOT / "examples" / "first-verdict" / "trial.json"
PARTS = {"Design": "design", "Lock": "lock", "Conduct": "conduct", "Feed": "feed", "Prices": "prices",
         "Colony": "a colony"}  # fmt: skip


def rows() -> dict[str, str]:
    """What the table says, by its part: "" for the top."""
    table = PAGE.split("## Every key")[1].split("\n## ")[0]
    parts = re.split(r"^\| \*\*([^*]+)\*\* \| \|\n", table, flags=re.M)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


ROWS = rows()


def test_the_published_schema_is_the_one_that_is_read_by():
    told = json.loads(PUBLISHED.read_text("utf-8"))
    assert told == schema(), (
        "copy src/breadline/knowledge/schema/trial.json to docs/schema/trial-1.schema.json"
    )
    jsonschema.Draft202012Validator(told).validate(json.loads(EXAMPLE.read_text("utf-8")))


@pytest.mark.parametrize("part", ["", *PARTS])
def test_every_key_has_its_row_and_no_row_is_of_a_key_that_is_gone(part):
    keys = set((schema()["$defs"][part] if part else schema())["properties"])
    said = ROWS[PARTS.get(part, "")]
    heads = {key for head in re.findall(r"^\| (`.*?) \|", said, re.M) for key in re.findall(r"`(\w+)`", head)}
    assert heads == keys


@pytest.mark.parametrize("name", ["Also", "Became", "CheckArm", "Allocation", "Outcome", "Unit"])
def test_every_word_that_a_key_may_hold_is_on_the_page(name):
    part = schema()["$defs"][name]
    plain = " ".join(PAGE.split())
    assert not [word for word in part.get("enum", part.get("properties", ())) if word not in plain]


def kept_apart(yards: tuple[str, ...]):
    made = finished(5)
    return replace(made, design=replace(made.design, apart=yards))


@pytest.mark.parametrize(
    "trial",
    [EXAMPLE.read_text("utf-8"), text(), text(finished(4), own_names=True),
     text(kept_apart(("Sorrel Bend 0", "Sorrel Bend 2")), own_names=True), text(kept_apart(()))],
    ids=["the example", "numbered", "own names", "rows kept apart", "no row kept apart"],
)  # fmt: skip
def test_the_seal_is_what_the_page_says(trial):
    (block,) = re.findall(r"^```python\n(.*?)^```", PAGE, re.M | re.S)
    told: dict = {}
    exec(compile(block, "trial-file.md", "exec"), told)
    file = json.loads(trial)
    assert told["sealed"](file) == file["lock"]["sealed"]
    changed = json.loads(trial)
    changed["colonies"][0]["arm"] = 1 - changed["colonies"][0]["arm"]
    assert told["sealed"](changed) != file["lock"]["sealed"]
    assert not trial_from_text(json.dumps(changed), "trial.json").sealed
