"""The locked requirements belong to pyproject.toml and carry no address."""

from __future__ import annotations

import re
import tomllib

import pytest

from house import tree

PROJECT = tomllib.loads((tree.ROOT / "pyproject.toml").read_text(encoding="utf-8"))
RUN = PROJECT["project"]["dependencies"]
DEV = [*RUN, *PROJECT["dependency-groups"]["dev"]]
SITE = PROJECT["dependency-groups"]["site"]
DO = "run ./scripts/lock"


def locked(name: str) -> dict[str, str]:
    """Packages of a requirements file and the version each is locked to (the last, where several)."""
    text = (tree.ROOT / "requirements" / name).read_text(encoding="utf-8")
    return {plain(n): v for n, v in re.findall(r"^([A-Za-z0-9._-]+)==([^ ;\\]+)", text, re.M)}


def plain(name: str) -> str:
    """A package's name as registries compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def version(text: str) -> tuple[int, ...]:
    """The leading numbers of a version."""
    return tuple(int(part) for part in re.match(r"[\d.]+", text)[0].strip(".").split("."))


@pytest.mark.parametrize(
    ("file", "wanted"),
    [("run.txt", RUN), ("dev.txt", DEV), ("site.txt", SITE)],
    ids=["to run", "to develop", "for the site"],
)
def test_every_direct_dependency_is_locked_in_range(file, wanted):
    there = locked(file)
    for requirement in wanted:
        name, bound, least = re.fullmatch(r"([\w.-]+)(?:\[[\w,]+\])?(>=|==)?([\d.]*)", requirement).groups()
        assert plain(name) in there, f"{requirement} is not in requirements/{file}: {DO}"
        if bound == ">=":
            assert version(there[plain(name)]) >= version(least), f"{requirement}: {DO}"
        if bound == "==":
            assert there[plain(name)] == least, f"{requirement}: {DO}"


def test_the_files_agree():
    dev = locked("dev.txt")
    for one in (locked("run.txt"), locked("site.txt")):
        assert one == {name: dev.get(name) for name in one}, DO


@pytest.mark.parametrize("file", ["run.txt", "dev.txt", "site.txt"])
def test_every_package_is_locked_by_hash_and_no_address_is_kept(file):
    text = (tree.ROOT / "requirements" / file).read_text(encoding="utf-8")
    packages = re.split(r"\n(?=[a-z0-9])", text.split("\n", 1)[1].lstrip())
    assert all("--hash=sha256:" in package for package in packages)
    assert "://" not in text
    assert not re.search(r"^-", text, re.M)
