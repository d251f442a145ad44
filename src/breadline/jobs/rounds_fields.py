"""Reading one table of a plan file: money with its year, masses and rates by their unit."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from breadline.errors import InputToMend, PlanError
from breadline.jobs.recipe_fields import Lines, RecipeTable, Spot
from breadline.jobs.two_ways import Written, asked_which, by_units, two_readings
from breadline.language import say
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import Amount

GRAMS: Mapping[str, float] = {"kg": 1000.0, "g": 1.0, "lb": GRAMS_A_POUND, "oz": GRAMS_A_POUND / 16}
# Of a feed, sugar or honey, in dollars, euros and pounds; beyond them a unit was mistaken. [money/kg]
DEAREST_KG, CHEAPEST_KG = 100.0, 0.05
MOST, MOST_ELSEWHERE = 1e6, 1e9  # a price; in a money of which nobody here knows what things cost [money]
YEARS = (1990, 2100)


class PlanTable(RecipeTable):
    """One table of a plan file."""

    fault: ClassVar[type[InputToMend]] = PlanError

    def error(self, key: str, what: str, expected: str = "", do: str = "") -> InputToMend:
        """An error that names the file, the line, the table and the key."""
        return PlanError(self.spot.where(key), what, expected, do)

    def needed(self, key: str, value: Any, expected: str) -> Any:
        """The value, which has to be there."""
        if value is None or value == "":
            raise self.error(key, say("is missing"), expected, say("Add the line"))
        return value

    def above(self, key: str, high: float, unit: str, do: str = "") -> float | None:
        """A number above 0; None where the key is not there."""
        value = self.data.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool) and not 0 < value <= high:
            raise self.error(
                key,
                say("{value:g} cannot be", value=value),
                say("above 0, up to {high:g} {unit}", high=high, unit=say(unit)),
                do,
            )
        return self.number(key, 0, high, unit)

    def share(self, key: str) -> float | None:
        """A percentage as a share; None where the key is not there. [share]"""
        value = self.percent(key)
        return None if value is None else value / 100.0

    def numbers(self, key: str, low: float, high: float, unit: str = "") -> tuple[float, ...]:
        """A list of numbers from low to high; empty where the key is not there."""
        values = self.data.get(key, [])
        if not isinstance(values, list):
            raise self.error(
                key,
                say("{values} is no list of numbers", values=repr(values)),
                say("numbers in brackets: [7, 14]"),
            )
        one_by_one = (
            PlanTable({key: value}, self.spot, (key,)).number(key, low, high, unit) for value in values
        )
        return tuple(value for value in one_by_one if value is not None)

    def mass_g(self, name: str, high_g: float) -> float | None:
        """A mass by the unit in its key: ``patty_lb``, ``patty_g``; None where there is none. [g]"""
        found = [unit for unit in GRAMS if f"{name}_{unit}" in self.data]
        if len(found) > 1:
            raise self.error(
                f"{name}_{found[0]}",
                say("{name}_{found} is there too", name=name, found=found[1]),
                say("one of them"),
            )
        if not found:
            return None
        unit = found[0]
        value = self.above(f"{name}_{unit}", high_g / GRAMS[unit], unit)
        return None if value is None else value * GRAMS[unit]


@dataclass(frozen=True)
class Money:
    """Whose money the file is in, and of which year its prices are where they do not say their own."""

    money: str
    year: int | None

    def amount(self, table: PlanTable, key: str, unit: str, *, nought: bool = False) -> Amount | None:
        """A price of a table, with the year it names or the file's; None where the key is not there."""
        value = table.data.get(key)
        if isinstance(value, Written) and (readings := two_readings(value.text, self.money)):
            raise table.error(key, *asked_which(value.text, readings))
        number = value if isinstance(value, int | float) and not isinstance(value, bool) else 1.0
        if number < 0 or (number == 0 and not nought):
            least = say("0 or more") if nought else "above 0"
            raise table.error(
                key,
                say("{number:g} is not a price", number=number),
                f"{least}, {unit}",
                say("Write what you are paid or were quoted, or leave the line out"),
            )
        amount = table.number(key, 0, MOST if by_units(self.money) else MOST_ELSEWHERE, unit)
        if amount is None:
            return None
        year = table.whole(f"{key}_year", *YEARS) or self.year
        if year is None:
            raise table.error(
                key,
                say("says not of which year it is"),
                say("year = 2026 at the top, or {key}_year", key=key),
                say("A price without its year says nothing"),
            )
        return Amount(amount, self.money, year)

    def rate(self, table: PlanTable, key: str, pieces_g: float | None = None) -> Amount | None:
        """A price a kilogram, from one a kilogram, pound or patty; None where there is none. [money/kg]"""
        asked = self.amount(table, key, say("for the unit in per"))
        if asked is None:
            return None
        known = ["kg", "lb", *(["patty"] if pieces_g else [])]
        per = table.needed_word("per", known, say('Say what the price is for: per = "lb"'))
        grams = pieces_g if per == "patty" and pieces_g else GRAMS[per]
        a_kg = asked.amount * 1000.0 / grams
        if by_units(self.money) and not CHEAPEST_KG <= a_kg <= DEAREST_KG:
            do = (
                say(
                    "If it is for a box or bag, divide by what it holds; in cents, write {amount:g}",
                    amount=asked.amount / 100,
                )
                if a_kg > DEAREST_KG
                else say("If that is for an ounce or a gram, give it for a kg or lb")
            )
            raise table.error(
                key,
                say(
                    "{amount:g} a {per} is implausible: {a_kg:,.4g} a kg",
                    amount=asked.amount,
                    per=say("patty") if per == "patty" else per,
                    a_kg=a_kg,
                ),
                say(
                    "{cheapest_kg:g} to {dearest_kg:g} {money} a kg",
                    cheapest_kg=CHEAPEST_KG,
                    dearest_kg=DEAREST_KG,
                    money=self.money,
                ),
                do,
            )
        return Amount(a_kg, asked.money, asked.year)


def table_of(
    data: Mapping[str, Any], name: str, known: Collection[str], file: str, lines: Lines
) -> PlanTable:
    """One table of the file, empty where it is not there."""
    return PlanTable(data.get(name, {}), Spot(file, lines, name), known)


def tables_of(
    data: Mapping[str, Any], name: str, known: Collection[str], file: str, lines: Lines
) -> list[PlanTable]:
    """Every table of a list."""
    listed = data.get(name, [])
    if not isinstance(listed, list):
        raise PlanError(
            f"{file}, {name}",
            say("it is one table"),
            say("a list: write [[{name}]] with two brackets", name=name),
        )
    return [PlanTable(one, Spot(file, lines, name, n, True), known) for n, one in enumerate(listed, 1)]
