"""What no line of the program does: run text as code, start programs, read code as data, digest weakly."""

from __future__ import annotations

import ast
import re

from tests.house.tree import ROOT, python_files

CALLS = {"eval", "exec", "compile", "__import__"}
MODULES = {"subprocess", "pickle", "marshal", "shelve", "yaml", "multiprocessing", "code", "ctypes"}
NAMES = {"md5", "sha1", "popen", "execv", "execve", "spawnv", "mktemp"}
SCRIPTS = ROOT / "src" / "breadline" / "web" / "static"
IN_SCRIPTS = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\s*\(|new Function|srcdoc"
)


def dangers(tree: ast.AST) -> list[str]:
    """The calls and imports of a file that are none of ours."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            found.append(node.func.id)
        elif isinstance(node, ast.Attribute) and (node.attr in NAMES or ast.unparse(node) == "os.system"):
            found.append(node.attr)
        elif isinstance(node, ast.Import):
            found += [one.name for one in node.names if one.name.split(".")[0] in MODULES]
        elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in MODULES:
            found.append(node.module or "")
    return found


def test_no_text_is_run_and_no_program_is_started():
    found = {
        f"{path.relative_to(ROOT)}: {danger}"
        for path in python_files("src/breadline")
        for danger in dangers(ast.parse(path.read_text("utf-8")))
    }
    assert found == set()


def test_what_it_looks_for_is_found():
    assert dangers(ast.parse("import pickle\neval('1')\nhashlib.md5(b'')\nfrom subprocess import run")) == [
        "pickle", "subprocess", "eval", "md5",
    ]  # fmt: skip
    assert IN_SCRIPTS.search("place.innerHTML = text")


def test_our_scripts_write_text_and_never_markup():
    ours = [path for path in SCRIPTS.rglob("*.js") if "vendor" not in path.parts]
    assert len(ours) > 5
    assert [path.name for path in ours if IN_SCRIPTS.search(path.read_text("utf-8"))] == []
