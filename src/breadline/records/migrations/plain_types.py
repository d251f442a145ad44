"""Column types as migrations write them: the plain type of SQLAlchemy, never one of ours.

Autogenerate forgets to import a type of our own, and a migration must mean the
same in ten years, whatever has become of that type.
"""

from __future__ import annotations

from typing import Any, Literal

from breadline.records.times import UtcTime


def written_out(what: str, thing: Any, _: Any) -> str | Literal[False]:
    """The text of one item of a migration; False where Alembic's own text will do."""
    return "sa.DateTime(timezone=True)" if what == "type" and isinstance(thing, UtcTime) else False
