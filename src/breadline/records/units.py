"""Units of the columns that hold quantities, as they stand in the heads of what is taken out."""

from __future__ import annotations

_FIGURE = "unit of the figure"
_DEGREES = {"latitude": "°", "longitude": "°"}
UNITS_OF: dict[str, dict[str, str]] = {
    "yard_fact": _DEGREES
    | {"colonies_in_flight_range": "colonies", "colonies": "colonies", "aim_frames": "frames"},
    "reading": {"value": "see unit", "out_of": "queens"},
    "weather": _DEGREES | {"utc_offset_hours": "h"},
    "bloom": {
        "strength": "share", "nectar": "share", "protein_pct": "% of mass", "sum_c": "°C·day",
        "base_c": "°C", "cap_c": "°C", "lasts_days": "days",
    },
    "figure_edit": {"low": _FIGURE, "typical": _FIGURE, "high": _FIGURE},
    "outlook": {"bees_a_frame": "bees"},
    "price": {"price": "money/per", "bag": "bag_unit"},
    "batch": {"piece_g": "g"},
    "plan": {"threshold": "share"},
    "round": {"grams": "g/colony"},
    "frozen": {"frames": "frames"},
    "frozen_taken": {"frames": "frames"},
    "dry_feed": _DEGREES
    | {"near_km": "km", "far_km": "km", "colonies_in_range": "colonies", "own_colonies": "colonies"},
    "belief_update": {"log_ratio": "log ratio", "se": "log ratio", "fed": "colonies", "check": "colonies"},
    "trial_colony": {"baseline": "unit of the outcome"},
    "trial_end": {"outcome": "unit of the outcome", "again": "unit of the outcome", "taken": "frames"},
    "field_entry": {"offset_minutes": "min", "clock_ahead_s": "s"},
}  # fmt: skip


def head_of(table: str, column: str) -> str:
    """The head of a column: its name, and its unit in brackets where it holds a quantity."""
    unit = UNITS_OF.get(table, {}).get(column)
    return column if unit is None else f"{column} [{unit}]"
