"""JSON on the terminal."""

from __future__ import annotations

import json
from typing import Any


def shown(document: dict[str, Any]) -> None:
    """Print a JSON document."""
    print(json.dumps(document, ensure_ascii=False, indent=2))
