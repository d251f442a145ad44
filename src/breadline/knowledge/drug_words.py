"""The words by which a request for a drug is recognised; they are never shown to anybody."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from breadline.knowledge.data import shipped

NOT = frozenset({"no", "not", "non", "never", "without", "zero", "kein", "keine", "ohne", "sans", "sin"})
BETWEEN = frozenset(
    {"any", "add", "added", "use", "used", "give", "contain", "contains", "with", "other", "of"}
)


# Letters of other alphabets that look like Latin ones, where they stand among Latin ones.
LOOK_ALIKE = str.maketrans("асеорхуіѕмтвнк" + "αεορυνικτ", "aceopxyismtbhk" + "aeopuvikt")
LATIN = re.compile("[a-z]")


@dataclass(frozen=True)
class DrugWords:
    """Words of one kind of thing that is not added to feed; see ``drug_words.toml``."""

    everyday: tuple[str, ...]
    whole: frozenset[str]
    starts: tuple[str, ...]
    ends: tuple[str, ...]
    phrases: tuple[str, ...]
    pattern: str


@cache
def drug_words() -> Mapping[str, DrugWords]:
    """Words of recognition by the key of the rule that answers them."""
    return {key: _known(table) for key, table in shipped("drug_words.toml").items()}


@lru_cache(maxsize=4096)
def kinds_named(text: str) -> tuple[str, ...]:
    """Which kinds of thing a text names: keys of ``drug_words()``, in their order."""
    plain = _plain(text)
    clauses = [_anti_joined(_words(clause)) for clause in re.split(r"[.;:!?\n]", plain)]
    return tuple(
        kind for kind, known in drug_words().items()
        if _named([*_words(plain), *_run_together(plain)], known) or any(_everyday(c, known) for c in clauses)
    )  # fmt: skip


def _known(table: Mapping[str, Any]) -> DrugWords:
    lists = {name: tuple(table.get(name, ())) for name in ("everyday", "starts", "ends", "phrases")}
    return DrugWords(**lists, whole=frozenset(table.get("whole", ())), pattern=str(table.get("pattern", "")))


def _plain(text: str) -> str:
    """Lower case, without accents or signs that do not show."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return "".join(c for c in bare if unicodedata.category(c) != "Cf").casefold()


def _words(plain: str) -> list[str]:
    """Words of letters only."""
    return [_latin(word) for word in re.findall(r"[^\W\d_]+", plain)]


def _latin(word: str) -> str:
    return word.translate(LOOK_ALIKE) if LATIN.search(word) else word


def _run_together(plain: str) -> list[str]:
    """Words with signs or gaps between their letters, as one: "o.t.c.", "s u l f a"."""
    pieces = [_words(piece) for piece in plain.split()]
    signs = ["".join(piece) for piece in pieces if len(piece) > 1]
    gaps = re.findall(r"(?:\b[^\W\d_]\s+){2,}[^\W\d_]\b", plain)
    return signs + ["".join(_words(gap)) for gap in gaps]


def _named(words: Sequence[str], known: DrugWords) -> bool:
    return any(_is_one(word, known) for word in words) or any(
        f" {phrase} " in f" {' '.join(words)} " for phrase in known.phrases
    )


def _everyday(clause: Sequence[str], known: DrugWords) -> bool:
    return any(w.startswith(known.everyday) and not _taken_back(clause, i) for i, w in enumerate(clause))


def _anti_joined(words: Sequence[str]) -> list[str]:
    """The same with "anti" put to the word behind it: "anti-biotic"."""
    return re.sub(r"\banti (?=\w)", "anti", " ".join(words)).split()


def _is_one(word: str, known: DrugWords) -> bool:
    by_pattern = bool(known.pattern) and re.fullmatch(known.pattern, word) is not None
    return word in known.whole or word.startswith(known.starts) or word.endswith(known.ends) or by_pattern


def _taken_back(words: Sequence[str], i: int) -> bool:
    """Whether "no", "without" or "free" stands with an everyday word: "antibiotic-free"."""
    if i + 1 < len(words) and words[i + 1] in ("free", "frei"):
        return True
    before = i - 1
    while before >= 0 and words[before] in BETWEEN:
        before -= 1
    return before >= 0 and (words[before] in NOT or (words[before] == "free" and words[before + 1] == "of"))
