"""Parts of a service's JSON, refused with advice where they have another shape."""

from __future__ import annotations

from typing import Any

from breadline.errors import WeatherError

AGAIN = "Download it again"


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
        raise WeatherError(where, f"“{value!s:.20}” stands where named values belong", "a JSON object", AGAIN)
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
        raise WeatherError(where, f"“{value!s:.20}” stands where a list belongs", "a JSON array", AGAIN)
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
        raise WeatherError(where, f"“{value!s:.20}” is not a number", "a number", AGAIN)
    return float(value)
