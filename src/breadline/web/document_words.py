"""Text of the documentation on a page: bold, keys of sources, commands; screens become links."""

from __future__ import annotations

import re
from collections.abc import Mapping

from markupsafe import Markup, escape

from breadline.language import say, say_as

SCREENS = {
    "Feed": "/feed", "Rounds": "/rounds", "Check group": "/check-group", "Verdict": "/verdict",
    "Evidence": "/evidence", "Figures": "/figures", "Straight answer": "/straight-answer",
}  # fmt: skip
MARKED = re.compile(
    r"\*\*(?P<bold>[^*]+)\*\*|`(?P<code>[^`]+)`|\[(?P<link>[^\]]+)\]\([^)]+\)|\[(?P<key>[a-z]\w+)\]"
    r"|\*(?P<slant>[^*]+)\*"
)


def document_words(text: str, cited: Mapping[str, str]) -> Markup:
    """One paragraph as a page shows it; a link to another document is its words alone."""
    parts: list[Markup | str] = []
    at = 0
    for found in MARKED.finditer(text):
        parts += [escape(text[at : found.start()]), _shown(found, cited)]
        at = found.end()
    return Markup("").join([*parts, escape(text[at:])])


def screens() -> dict[str, str]:
    """Where each screen stands, by its name in the reader's language and by its English one."""
    said = {say_as("screen", name): address for name, address in SCREENS.items()}
    return SCREENS | said | {say("Common questions"): "/questions"}


def _shown(found: re.Match[str], cited: Mapping[str, str]) -> Markup:
    kind, words = found.lastgroup, str(found[found.lastgroup or 0])
    if kind == "bold" and (address := screens().get(words)):
        return Markup('<a href="{}">{}</a>').format(address, words)
    if kind == "key" and words in cited:
        return Markup('<a href="#source-{}" title="{}">{}</a>').format(words, cited[words], words)
    tag = {"bold": "b", "code": "code", "slant": "i"}.get(kind or "")
    return Markup(f"<{tag}>{{}}</{tag}>").format(words) if tag else escape(words)
