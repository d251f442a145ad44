"""Parts of a service's JSON, refused with advice where they have another shape."""

from __future__ import annotations

from typing import Any

from breadline.errors import WeatherError
from breadline.language import noted, say

AGAIN = noted("Download it again")


def mapping(value: Any, where: str) -> dict[str, Any]:
    """``value`` as a JSON object; an absent one is empty.

    Errors
    ------
    WeatherError
        If it is anything else.
    """
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise WeatherError(
            where,
            say("“{value!s:.20}” stands where named values belong", value=value),
            say("a JSON object"),
            say(AGAIN),
        )
    return value


def listed(value: Any, where: str) -> list[Any]:
    """``value`` as a JSON array; an absent one is empty.

    Errors
    ------
    WeatherError
        If it is anything else.
    """
    if value is None:
        return []
    if not isinstance(value, list):
        raise WeatherError(
            where,
            say("“{value!s:.20}” stands where a list belongs", value=value),
            say("a JSON array"),
            say(AGAIN),
        )
    return value


def number(value: Any, where: str) -> float | None:
    """``value`` as a number [in the unit of the file], None where absent.

    Errors
    ------
    WeatherError
        If it is anything else.
    """
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WeatherError(
            where, say("“{value!s:.20}” is not a number", value=value), say("a number"), say(AGAIN)
        )
    return float(value)
