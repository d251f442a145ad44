"""The page of check values names the packages that its files name."""

from __future__ import annotations

import re
import tomllib

from house import tree

PAGE = tree.ROOT / "docs" / "method" / "verdict-checks.md"
FILES = tree.ROOT / "tests" / "published"
PACKAGE = re.compile(r"lme4|nlme|pbkrtest")


def rows() -> dict[str, str]:
    """What the page says a file of mixed models is from, by its name."""
    found = {}
    for row in re.findall(r"^\|.*\|$", PAGE.read_text("utf-8"), re.M):
        cells = [cell.strip() for cell in row.strip("|").split("|")]
        found |= dict.fromkeys(re.findall(r"mixed_\w+\.toml", cells[-1]), cells[-2])
    return found


def test_each_file_of_mixed_models_has_its_row_and_its_packages():
    names = {path.name for path in FILES.glob("mixed_*.toml")}
    assert set(rows()) == names
    for name, told in rows().items():
        by = tomllib.loads((FILES / name).read_text("utf-8"))["by"]
        page, file = set(PACKAGE.findall(told)), set(PACKAGE.findall(by))
        assert page - {"pbkrtest"} == file - {"pbkrtest"}, name  # who fitted it
        assert page <= file, name


def test_versions_are_those_of_the_files():
    text = PAGE.read_text("utf-8")
    for path in FILES.glob("mixed_*.toml"):
        by = tomllib.loads(path.read_text("utf-8"))["by"]
        assert all(version in text for version in re.findall(r"(?:lme4|nlme|pbkrtest) \d[\d.-]*", by)), (
            path.name
        )
