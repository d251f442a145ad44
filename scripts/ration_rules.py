"""Write docs/method/ration-rules.md from the rule table and the shelf, so that it cannot drift.

uv run python -m scripts.ration_rules
"""

from __future__ import annotations

from pathlib import Path

from breadline.knowledge.data import sources
from breadline.knowledge.feed_rules import End, FeedRule, Level, feed_rules
from breadline.knowledge.figure import READ_WORDS
from breadline.knowledge.shelf import load

PAGE = Path(__file__).parent.parent / "docs" / "method" / "ration-rules.md"
HEAD = Path(__file__).with_name("ration_rules_head.md")  # {least}, {low}, {high}, {most} are doses [kGy]
TITLES: dict[Level, str] = {"refuse": "Refused", "caution": "Cautions", "note": "Notes"}
AT: dict[End, str] = {"low": "from", "high": "from", "above": "above", "above_high": "above"}


def page() -> str:
    """The whole page."""
    shelf = load()
    gamma = shelf["feed_rule.gamma"].span
    head = HEAD.read_text("utf-8").format(
        least=shelf["feed_rule.least_radiation"].span.low,
        low=gamma.low,
        high=gamma.high,
        most=shelf["feed_rule.most_radiation"].span.low,
    )
    parts = [head]
    for level, title in TITLES.items():
        rules = [_rule(rule) for rule in feed_rules() if rule.level == level]
        parts.append("\n".join([f"## {title}\n", *rules]))
    return "\n".join(parts)


def _rule(rule: FeedRule) -> str:
    rows = [
        ("goes by", _goes_by(rule)),
        (
            "says",
            rule.line.replace("{names}", "…").replace("{amount}", "(amount)").replace("{limit}", "(level)"),
        ),
        ("why", rule.why),
        ("ask", rule.ask),
        ("source", f"{sources()[rule.source]} ({rule.grounds})"),
    ]
    lines = "\n".join(f"- **{name}**: {text}" for name, text in rows if text)
    return f"### `{rule.key}`\n\n{lines}\n"


def _goes_by(rule: FeedRule) -> str:
    said = []
    if rule.by:
        said.append(f"decided by the {rule.by}")
    if rule.traits or rule.words:
        words = [f'"{word}" in its name' for word in rule.words]
        but = f", but not {', '.join(rule.but_not)}" if rule.but_not else ""
        said.append(f"an ingredient with {', '.join([*rule.traits, *words])}{but}")
    if rule.without:
        said.append(f"no {', '.join(rule.without)} in the mix")
    if rule.over:
        said.append(_over(rule))
    if rule.when:
        said.append(f"the user says: {rule.when}")
    return "; ".join(said)


def _over(rule: FeedRule) -> str:
    figure = load()[rule.figure]
    level = figure.span.high if rule.end in ("high", "above_high") else figure.span.low
    read = "" if figure.read == "itself" else f", {READ_WORDS[figure.read]}"
    return f"{rule.over} {AT[rule.end]} {level:g} {figure.unit} (`{figure.key}`{read})"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
