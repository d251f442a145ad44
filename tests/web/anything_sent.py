"""Everything that the server's own description allows is sent to it; it may refuse, never break."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from web.crawl import HERE
from web.described import Form, described

FILES = (b"", b"\x00\xff\xfe", b"PK\x03\x04zip", b"{", b"[[x]]\nname = 1", b"Yard,Date\nMill,2026-13-40\n",
         b"{\"shape\": \"breadline.trial/1\"}", b"\xef\xbb\xbfa;b\n1,5;2\n", b"x" * 4000)  # fmt: skip
LEFT_OUT = frozenset({("post", "/weather/archive")})  # it asks another host
WORDLESS = "something else than the page sends"
TWICE = 2  # the second time, something may be kept
Sent = tuple[dict[str, str], dict[str, bytes]]


@dataclass(frozen=True)
class How:
    """How much is sent, from which seed, and who is told how far it is: path by path with its faults.

    Parameters
    ----------
    examples
        What is sent to each path that takes anything at all.
    """

    examples: int
    seed: int
    going: Callable[[int, int, str, int], None] = lambda *_: None


def broken_by(app: FastAPI, client: TestClient, pages: Mapping[str, str], how: How) -> Iterator[str]:
    """What breaks the server, or is refused without a word of what is wrong, one line each.

    Half of what is sent is a form as it stands with one field amiss. A path that takes nothing is
    asked twice only: it cannot be asked otherwise.
    """
    told = described(app, pages)
    every = [one.ok() for one in schemathesis.openapi.from_dict(told.openapi).get_all_operations()]
    asked = [one for one in every if one and (one.method.lower(), one.path) not in LEFT_OUT]
    for n, operation in enumerate(asked, 1):
        key, wrong = (operation.method.lower(), operation.path), dict[str, None]()
        many = how.examples if _takes(told.openapi["paths"][key[1]][key[0]]) else min(how.examples, TWICE)
        limits = settings(
            max_examples=many, database=None, deadline=None, phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        ask = given(case=operation.as_strategy(), how=st.integers(-100, 100))(
            _asking(client, told.forms.get(key, Form()), wrong)
        )
        seed(how.seed)(limits(ask))()
        how.going(n, len(asked), f"{operation.method} {operation.path}", len(wrong))
        yield from list(wrong)[:3]


def _takes(operation: Mapping[str, Any]) -> bool:
    """Whether there is more than one way to ask."""
    return bool(operation.get("parameters") or operation.get("requestBody"))


def _asking(client: TestClient, form: Form, wrong: dict[str, None]) -> Callable[..., None]:
    def ask(case: schemathesis.Case, how: int) -> None:
        drawn = case.query if case.method == "GET" else case.body
        drawn = {k: str(v) for k, v in drawn.items()} if isinstance(drawn, Mapping) else {}
        data = drawn if how < 0 else form.stands | _one_of(drawn, how)
        files = {name: FILES[(how + n) % len(FILES)] for n, name in enumerate(sorted(form.files))}
        if told := _fault(case, client, (data, {} if how % 10 == 9 else files)):
            wrong[told] = None

    return ask


def _one_of(drawn: Mapping[str, str], how: int) -> dict[str, str]:
    names = sorted(drawn)
    return {names[how % len(names)]: drawn[names[how % len(names)]]} if names else {}


def _fault(case: schemathesis.Case, client: TestClient, sent: Sent) -> str:
    """What is wrong with the answer to one case; "" where it is as it should be."""
    data, files = sent
    address, asks = f"{HERE}{case.formatted_path}", case.method == "GET"
    answer = client.request(
        case.method, address, params=data if asks else None, data=None if asks else data,
        files={name: ("sent.csv", content) for name, content in files.items()} or None,
        follow_redirects=False,
    )  # fmt: skip
    what = f"{case.method} {case.path} {answer.status_code}"
    by = f"path {case.path_parameters} sent {data} files {list(files.values())}"[:700]
    if answer.status_code >= 500:
        return f"{what}: {_said(answer.text)} | {by}"
    if answer.status_code == 422 and "text/html" in answer.headers["content-type"]:
        if 'role="alert"' not in answer.text:
            return f"{what}: refused without a word | {by}"
        if WORDLESS in answer.text:
            return f"{what}: refused without the field's own words | {by}"
    return ""


def _said(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text.partition('role="alert"')[2]).split())[:160]
