"""The JSON Schema (2020-12) of an exported book, made from the tables themselves.

``python -m breadline.jobs.export_schema docs/schema/book-1.schema.json`` writes it again after a
table was changed.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from sqlalchemy import JSON, Boolean, Column, Date, Double, Integer, LargeBinary, Table, Uuid

from breadline.jobs.export_json import SCHEMA, SHAPE
from breadline.records.plain_rows import tables_kept
from breadline.records.times import UtcTime
from breadline.records.units import UNITS_OF

_DIGEST = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


def schema() -> dict[str, Any]:
    """The schema of ``breadline export --as json``."""
    tables = {table.name: {"type": "array", "items": _row(table)} for table in tables_kept()}
    top = {
        "$schema": {"const": SCHEMA},
        "shape": {"const": SHAPE},
        "program": {"type": "string", "description": "version of Breadline that wrote it"},
        "database_shape": {"type": "string", "description": "shape of the tables"},
        "taken_out_at": {"type": "string", "format": "date-time"},
        "units": {"type": "object", "description": "unit of each column that holds a quantity, by table"},
        "tables": {"type": "object", "properties": tables, "required": list(tables),
                   "additionalProperties": False},
        "records": {"type": "integer", "minimum": 0, "description": "rows of all tables together"},
        "sha256": _DIGEST | {"description": "over the rows in the order of their keys, without “stands”"},
    }  # fmt: skip
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA,
        "title": "A book of Breadline",
        "description": "Every row of every table, corrected and withdrawn too, each after those it names.",
        "type": "object",
        "properties": top,
        "required": list(top),
        "additionalProperties": False,
    }


def schema_text() -> str:
    """The same as the text of its file."""
    return json.dumps(schema(), ensure_ascii=False, indent=1) + "\n"


def _row(table: Table) -> dict[str, Any]:
    columns = {column.name: _column(table, column) for column in table.columns}
    if "replaces" in columns:
        columns["stands"] = {
            "enum": ["holds", "corrected", "withdrawn"],
            "description": "worked out: a later row took its place; or it says that nothing does",
        }
    return {
        "type": "object", "properties": columns, "required": list(columns), "additionalProperties": False,
    }  # fmt: skip


def _column(table: Table, column: Column[Any]) -> dict[str, Any]:
    told = _kind(column)
    if column.nullable and "type" in told:
        told["type"] = [told["type"], "null"]
    keys = [key.column.table.name for key in column.foreign_keys]
    unit = UNITS_OF.get(table.name, {}).get(column.name)
    said = [f"key of a row of {keys[0]}"] if keys else []
    said += [f"[{unit}]"] if unit else []
    return told | ({"description": ", ".join(said)} if said else {})


def _kind(column: Column[Any]) -> dict[str, Any]:
    kind = column.type
    if isinstance(kind, UtcTime):
        return {"type": "string", "format": "date-time"}
    if isinstance(kind, Date):
        return {"type": "string", "format": "date"}
    if isinstance(kind, Uuid):
        return {"type": "string", "format": "uuid"}
    if isinstance(kind, LargeBinary):
        return {"type": "string", "contentEncoding": "base64"}
    if isinstance(kind, Boolean):
        return {"type": "boolean"}
    if isinstance(kind, Integer):
        return {"type": "integer"}
    if isinstance(kind, Double):
        return {"type": "number"}
    return {} if isinstance(kind, JSON) else {"type": "string"}


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(schema_text(), encoding="utf-8")
