"""The yards of a book as GeoJSON (RFC 7946): longitude first, no geometry where a place is not known."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy.orm import Session

from breadline.records import yards
from breadline.records.tables import YardFact

_TOLD = ("name", "colonies", "kept_for", "country", "region", "colonies_in_flight_range", "aim", "aim_on",
         "aim_frames", "first_reliable_pollen", "supers_from")  # fmt: skip


def yards_geojson(session: Session) -> dict[str, Any]:
    """The yards on the list as a FeatureCollection; an identifier of a feature is the key of its yard."""
    facts = [yards.fact(session, row.id) for row in yards.yards(session)]
    return {"type": "FeatureCollection", "features": [_feature(fact) for fact in facts]}


def geojson_text(session: Session) -> str:
    """The same as text, one yard a line."""
    told = yards_geojson(session)
    lines = ",\n".join(json.dumps(one, ensure_ascii=False, allow_nan=False) for one in told["features"])
    return f'{{"type": "FeatureCollection", "features": [\n{lines}\n]}}\n'


def _feature(fact: YardFact) -> dict[str, Any]:
    """A yard without longitude has no place on a map: its latitude stands among the properties."""
    place = None
    if fact.longitude is not None:
        place = {"type": "Point", "coordinates": [fact.longitude, fact.latitude]}
    told = {name: getattr(fact, name) for name in _TOLD}
    days = {name: str(told[name]) for name in _TOLD if hasattr(told[name], "isoformat")}
    known = {name: value for name, value in (told | days).items() if value is not None}
    if place is None:
        known["latitude"] = fact.latitude
    return {"type": "Feature", "id": str(fact.yard_id), "geometry": place, "properties": known}
