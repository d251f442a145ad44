"""Which fields every form of the pages has: a field that stands in no form is one that nobody reads.

Two kinds of names stand for many: ``#`` is the number of a line, ``*`` any name at all.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from functools import cache

from starlette.routing import compile_path

from breadline.jobs import check_group_form, check_group_size_form, rounds_form
from breadline.jobs.short_path import QUESTIONS
from breadline.knowledge.ingredient import NUTRIENTS
from breadline.sheets.works import NAMES, asks
from breadline.web.pages.rounds_stop import FIELDS as STOP

EVERYWHERE = frozenset({"language", "measures"})  # of any address
_CELLS = {one.key for work in NAMES for one in asks(work, ())}
_CONTENTS = " ".join(
    f"ingredient-#-{name}_{'pct' if unit == 'g' else 'mg'}" for name, unit in NUTRIENTS.items()
)
_PRICE = "price-#-of price-#-price price-#-per price-#-bag price-#-bag_unit price-#-year money year"
_MIXER = "mixing-batch mixing-mixer_holds mixing-unit"
_FACTS = (
    "stands name colonies kept_for latitude longitude country colonies_in_flight_range aim aim_on aim_frames "
    "supers_from wants_feed_because region first_reliable_pollen bloom-#-name bloom-#-start bloom-#-end "
    "bloom-#-strength"
)
_RECIPE = (
    f"measured_in was-* name part-#-ingredient part-#-amount part-#-unit part-#-bulk_kg_per_l {_PRICE} "
    f"country {_MIXER} mixing-patty mixing-patty_unit mixing-bucket_l mixing-bucket_level pollen-origin "
    "pollen-free_of_foulbrood pollen-rays pollen-dose_kgy pollen-certificate pollen-frozen known-honey_own "
    "known-weeks_without_pollen known-for_sale note"
)
_BOUGHT = (
    "feed-#-name feed-#-basis feed-#-protein_min_pct feed-#-fat_min_pct feed-#-fibre_max_pct "
    "feed-#-water_max_pct feed-#-ash_max_pct feed-#-pollen_pct feed-#-ingredients feed-#-rays "
    f"feed-#-dose_kgy feed-#-certificate feed-#-note {_PRICE}"
)
_WEATHER_OF_A_DAY = "own around sheltered high_# rain_# humidity_# wind_#"
_LOOK = (
    "on colonies_looked_in frames_of_bees frame_means frames_of_brood bread bread_unit deep medium shallow "
    "frames_per_box coming_in fresh_arcs honey honey_note mites_per_100 mites_on queens_laying "
    "queens_looked_for foulbrood_signs beetles_seen maggots_seen"
)
_BRING_IN = (
    "sheet-word as-shown held tab head-row holds decimal order unit:* yard new-colonies same-feed head-# "
    "column-#"
)
_VERDICT = "cost price money year situation differently"
_ONWARD = "season situation protein pollen given own_names own_prices"
_KEYED = "step form work on who means tag-# new-# listed-# note-# " + " ".join(f"{one}-#" for one in _CELLS)
_DRAW = " ".join(field.key for field in check_group_form.FIELDS)
_SIZE = " ".join(
    field.key
    for part in (*check_group_size_form.PARTS, check_group_size_form.FOLDED)
    for field in part.fields
)
_ROUNDS = " ".join({key: "" for kind in rounds_form.KIND_WORDS for key in rounds_form.keys_of(kind)})

# What a form is sent to, and all that it may hold; what stands nowhere here holds nothing.
SENT: Mapping[str, str] = {
    "/yards/new": _FACTS,
    "/yards/{yard_id}/facts": _FACTS,
    "/yards/{yard_id}/look": _LOOK,
    "/yards/{yard_id}/look/take-back": "look because",
    "/feed/file": "file",
    "/feed/new": _RECIPE,
    "/feed/recipe/{name:path}": _RECIPE,
    "/feed/look": _RECIPE,
    "/feed/cheapest/{name:path}": f"listed mixes {_PRICE} {_MIXER} solve-ingredients solve-whole_bags "
    "target-#-what target-#-on target-#-at_least target-#-at_most solve-at_most_ingredients "
    "solve-at_least_if_used_pct solve-fill_least_pct solve-counted solve-seconds do as",
    "/feed/batch/{name:path}": "mixing-batch mixing-mixer_holds number",
    "/feed/bought": _BOUGHT,
    "/feed/bought/{name:path}": _BOUGHT,
    "/feed/ingredients": "measured_in ingredient-#-name ingredient-#-basis ingredient-#-protein_pct "
    "ingredient-#-protein_factor ingredient-#-bulk_kg_per_l ingredient-#-traits ingredient-#-note "
    f"{_CONTENTS} {_PRICE} into",
    "/rounds/freezer/{what}": "form yard elsewhere frames disease_free on take to_yard sick_yard why",
    "/rounds/{yard_id}/dry-feed": _WEATHER_OF_A_DAY,
    "/rounds/{yard_id}/dry-feed/never-stood": "because",
    "/rounds/alike/choose": "of yard seen-*",
    "/rounds/{yard_id}/choose": "asked at threshold seen",
    "/check-group/draw": f"{_DRAW} {check_group_form.LOT} before counts_on_grading table yard",
    "/check-group/{key}/ends": "tag status outcome again graded_on grader guessed merged_into taken because "
    "brood weight_kg weight_lb honey_kg honey_lb eaten_g eaten_oz table",
    "/check-group/{key}/verdict": _VERDICT,
    "/verdict": f"file {_VERDICT} drawn one_row check_got weakest_unfed open_feed unit decimal check primary "
    "margin grade",
    "/verdict/{key}/learn": _ONWARD,
    "/verdict/{key}/trial.json": _ONWARD,
    "/evidence/own": "files whose mine situation",
    "/evidence/own/take-back": "trial why",
    "/evidence/own/again": "trial",
    "/figures/{key}": "low typical high why",
    "/field/questions": "entry asked hive was_on on shown because take",
    "/field/questions/together": "entries because take",
    "/field/file": "file",
    "/field/hives/{yard_id}": "rows",
    "/field/ended/{yard_id}": "hive standing into on",
    "/field/entries/{yard_id}": "entry key on because",
    "/field/keying/{yard_id}": _KEYED,
    "/pair": "code",
    "/bring-in": "file holds",
    "/bring-in/look": _BRING_IN,
    "/bring-in/mend": _BRING_IN,
    "/bring-in/write": _BRING_IN,
    "/weather": "file yard",
    "/weather/archive": "accept yard",
    "/weather/bloom": "region yard",
    "/language": "back language measures money",
}
# Forms that only ask: what stands in their address, from the form or from a link.
ASKED: Mapping[str, str] = {
    "/straight-answer": "asked " + " ".join(one.key for one in QUESTIONS),
    "/rounds/{yard_id}": "kind " + " ".join(key for key, _, _ in STOP),
    "/rounds/{yard_id}/plans": f"kind was file {_ROUNDS}",
    "/rounds/{yard_id}/change": f"kind was file {_ROUNDS}",
    "/rounds/{yard_id}/visit": "piece left days maggots hard place rim patty_lb patty_g frames pollen "
    "outside beetles_about next",
    "/rounds/{yard_id}/dry-feed": f"{_WEATHER_OF_A_DAY} kept gone",
    "/rounds/freezer": "of_yard need_g need_oz freezer told again",
    "/rounds/alike": "of yard",
    "/rounds/together": "yard order_* paper",
    "/rounds/together/paper/{name}": "yard order_* paper",
    "/check-group/draw": f"{_DRAW} before counts_on_grading yard all",
    "/check-group/size": f"plan file yard {check_group_size_form.COLONIES.key} {_SIZE}",
    "/county": "whose numbered yard",
    "/county/page.pdf": "whose numbered yard paper",
    "/feed/batch/{name:path}": "mixing-batch mixing-mixer_holds kept",
    "/feed/ingredients": "find told",
    "/figures": "find told",
    "/questions": "find",
    "/questions/wrong": "find",
    "/field/tally/{yard_id}.pdf": "work paper",
    "/field/tags/{yard_id}.pdf": "labels first cut_lines",
    "/field/keying/{yard_id}": "work rows stored duplicate conflict back",
}


def unknown(names: Mapping[str, str], route: str, found: set[str]) -> set[str]:
    """Those of the names found that the form of a route has not, by one of the tables above."""
    known = _known(names.get(route, ""))
    return {name for name in found if name not in EVERYWHERE and not known.fullmatch(name)}


@cache
def _known(names: str) -> re.Pattern[str]:
    each = (re.escape(one).replace(r"\#", r"[0-9]{1,5}").replace(r"\*", ".+") for one in names.split())
    return re.compile("|".join(each), re.DOTALL) if names else re.compile(r"(?!)")


def mark(route: str) -> str:
    """Of the fields that a form has: another mark is of a form that had others."""
    names = " ".join(sorted({*SENT.get(route, "").split()}))
    return hashlib.sha256(names.encode()).hexdigest()[:12]


def mark_at(address: str) -> str:
    """The mark of the form that is sent to an address."""
    path = address.partition("#")[0].partition("?")[0]
    return mark(next((route for route, regex in _ROUTES if regex.match(path)), ""))


# What has no part that is left open comes first, as "/feed/new" does before any name.
_ROUTES = [(one, compile_path(one)[0]) for one in sorted(SENT, key=lambda one: ("{" in one, -len(one)))]
