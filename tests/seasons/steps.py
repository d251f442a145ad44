"""The steps that exist, each able to answer a scenario; the others are listed as open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from breadline.jobs.yard_file import yard_from_dict, yard_to_toml
from breadline.knowledge import shelf
from breadline.knowledge.calendars import calendar
from breadline.knowledge.countries import law_of
from breadline.need.advice import Advice, advise
from breadline.need.spoken import spoken
from breadline.need.yard import Yard
from breadline.ration.pollen_gate import Pollen, pollen_gate
from breadline.ration.refused import refusals
from breadline.ration.remark import refused
from seasons import made_weather
from seasons.scenario import Expectation, Scenario, made_up_outlook, scenarios


@dataclass(frozen=True)
class Said:
    """What a step answered: the answer, the text a person reads, and its dates."""

    answer: str
    text: str
    dates: dict[str, date | None]
    facts: dict[str, object]


def run_need(scenario: Scenario) -> Said:
    """Does this yard need protein? With weather through the season job, else from the facts."""
    yard = yard_from_dict(scenario.facts, f"{scenario.name}.toml")
    advice = _advice(scenario, yard)
    return Said(
        advice.answer,
        spoken(advice),
        {"look_again": advice.look_again},
        {"rung": advice.rung, "state": advice.state, "sentence": advice.sentence},
    )


def _advice(scenario: Scenario, yard: Yard) -> Advice:
    if scenario.weather is not None:
        return _with_weather(scenario.weather, yard)
    outlook = made_up_outlook(scenario.outlook, yard.today) if scenario.outlook else None
    starter = calendar(yard.place.region) if yard.place.region else None
    return advise(yard, outlook, shelf.load().reader(), law_of(yard.place.country), starter)


def _with_weather(weather: Path, yard: Yard) -> Advice:
    """The whole job, from a yard file and a weather file, as a person runs it."""
    from breadline.jobs.season import season_from_files

    with TemporaryDirectory() as folder:
        path = Path(folder) / "yard.toml"
        path.write_text(yard_to_toml(yard), encoding="utf-8")
        return season_from_files(path, weather).advice


def run_ration(scenario: Scenario) -> Said:
    """What goes into the feed, or may not: a recipe file where there is one, else the gate and refusals."""
    if "recipe" in scenario.feed:
        return _mixed(scenario.feed["recipe"])
    law, said = law_of(scenario.facts["place"]["country"]), []
    if "pollen" in scenario.feed:
        said += pollen_gate(Pollen(**scenario.feed["pollen"]), law, shelf.load().reader()).remarks
    said += refusals([scenario.feed.get("asked", "")], law)
    answer = "refused" if refused(said) else "goes in"
    return Said(answer, "\n".join(remark.text for remark in said), {}, {})


def _mixed(recipe: str) -> Said:
    """The whole job: the cheapest mix where targets ask for one, beside what is bought where it is not."""
    from breadline.jobs import ration
    from breadline.jobs.ration_lines import comparison_lines, solved_lines
    from breadline.jobs.recipe_file import recipe_from_text

    file = recipe_from_text(recipe, "recipe.toml")
    if not file.aims:
        text = "\n".join(line for _, line in comparison_lines(ration.compared([file])))
        return Said("feed", text, {}, {})
    found = ration.solved(file)
    text = "\n".join(line for _, line in solved_lines(found))
    return Said("feed" if found.standing is not None else "conflict", text, {}, {})


def run_rounds(scenario: Scenario) -> Said:
    """Which plan is worth its money? The whole job, in made-up weather of the climate that is named."""
    from breadline.jobs.rounds import day_of, rounds_answer
    from breadline.jobs.rounds_file import plan_from_text
    from breadline.jobs.rounds_stop_day import stop_day
    from breadline.jobs.rounds_told import rounds_lines
    from breadline.plan.plans import break_after
    from breadline.weather.read import read_weather

    asked = scenario.rounds
    if not asked:
        return _before_any_plan(scenario)
    facts = scenario.facts | {"place": scenario.facts["place"] | {"region": asked["region"]}}
    yard = yard_from_dict(facts, f"{scenario.name}.toml")
    with TemporaryDirectory() as folder:
        path = made_weather.write(asked["climate"], Path(folder) / "weather.csv")
        weather = read_weather(path, latitude=yard.place.latitude, today=yard.today)
    told = rounds_answer(yard, weather, plan_from_text(asked["plan"], yard.today))
    best = told.plans[told.best_at]
    days = [day_of(told, piece.day) for piece in best.plan.pieces]
    stop, at = stop_day(told, best), break_after(best.plan)
    sure = [on for on in days if stop is None or on <= stop]  # later ones only where pollen is not in yet
    answer = "stop" if told.season.state == "stop" else "plan" if days else "nothing"
    return Said(
        answer,
        "\n".join(line for _, line in rounds_lines(told)),
        {
            "first_round": days[0] if days else None,
            "last_round": sure[-1] if sure else None,
            "before_break": days[at - 1] if at else None,
            "again": days[at] if at else None,
        },
        {"best": best.plan.kind, "first": told.plans[0].plan.kind},
    )


def _before_any_plan(scenario: Scenario) -> Said:
    """Where the yard's facts speak against any round, nobody is asked for prices."""
    from breadline.jobs.rounds import no_round, season_says
    from breadline.jobs.rounds_words import no_round_words

    yard = yard_from_dict(scenario.facts, f"{scenario.name}.toml")
    said = season_says(yard, shelf.load().reader())
    return Said("none" if no_round(yard, said) else "plan", no_round_words(said), {}, {})


def run_check_group(scenario: Scenario) -> Said:
    """Have a check group, and of how many? From the size file where there is one, and the yard's facts."""
    from breadline.jobs.check_group_asked import asked_from_text
    from breadline.jobs.check_group_offer import offer
    from breadline.jobs.check_group_size import size_answer
    from breadline.jobs.check_group_size_told import size_lines
    from breadline.jobs.rounds import no_round, season_says

    yard, reader = yard_from_dict(scenario.facts, f"{scenario.name}.toml"), shelf.load().reader()
    asked = asked_from_text(scenario.check_group) if scenario.check_group else None
    facts = season_says(yard, reader)
    said = offer(asked, facts if no_round(yard, facts) else None, reader)
    lines = [] if asked is None else [text for _, text in size_lines(size_answer(asked, sizes=(12, 24, 48)))]
    return Said(said.answer, "\n".join([*said.sentences, *lines]), {}, {})


def run_verdict(scenario: Scenario) -> Said:
    """Did it pay? The whole job: a spreadsheet of made-up colonies, or a trial whose day has not come."""
    from breadline.jobs.verdict import Prices, Told, VerdictAsked
    from breadline.jobs.verdict_file import NoComparison, Readings, verdict_of_content, verdict_of_trial
    from breadline.jobs.verdict_rows import SheetAsked
    from breadline.jobs.verdict_told import answered_lines
    from seasons.made_colonies import drawn_trial, sheet_of

    given, today = scenario.verdict, scenario.facts["today"]
    prices = Prices(given.get("cost"), given.get("price"), year=today.year)
    asked = VerdictAsked(
        prices, Told(given.get("drawn", "unknown")), SheetAsked(check=given.get("check", "")),
        grade=given.get("grade"), draws=999,
    )  # fmt: skip
    if "groups" in given:
        found = verdict_of_content("last-year.csv", sheet_of(given["groups"]), asked, today)
    else:
        found = verdict_of_trial(drawn_trial(given["grading"]), asked, today, "trial.json")
    text = "\n".join(line for _, line in answered_lines(found))
    if isinstance(found, Readings | NoComparison):
        return Said("none yet" if isinstance(found, Readings) else "no_comparison", text, {}, {})
    given = found.answer.given.value
    return Said("cannot_tell" if given in "GH" else given, text, {}, {"class": given})


STEPS: dict[str, Callable[[Scenario], Said]] = {
    "need": run_need, "ration": run_ration, "rounds": run_rounds, "check_group": run_check_group,
    "verdict": run_verdict,
}  # fmt: skip


def exists(scenario: Scenario, step: str) -> bool:
    """Whether a step can answer this scenario: of the ration, only where something is said of a feed."""
    return step in STEPS and (step != "ration" or bool(scenario.feed))


def cases() -> list[tuple[Scenario, Expectation]]:
    """Every expectation of a step that exists."""
    return [(s, e) for s in scenarios() for e in s.expectations if exists(s, e.step)]


def still_open() -> list[Expectation]:
    """Every expectation of a step that is not built yet."""
    return [e for s in scenarios() for e in s.expectations if not exists(s, e.step)]


def open_lines() -> list[str]:
    """What is still open, one line a scenario."""
    by_scenario: dict[str, list[str]] = {}
    for expectation in still_open():
        by_scenario.setdefault(expectation.scenario, []).append(expectation.step)
    return [f"{name}: {', '.join(steps)}" for name, steps in by_scenario.items()]
