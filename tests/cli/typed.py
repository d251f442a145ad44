"""Types a command: in this process, which is quick, or as a program of its own."""

from __future__ import annotations

import contextlib
import contextvars
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest

from breadline.cli.app import main

BREADLINE = Path(sys.executable).parent / "breadline"
Done = subprocess.CompletedProcess[str]  # the exit code, and what was said on either stream


def program(*words: str, cwd: Path | None = None) -> Done:
    """The installed program, as a shell starts it."""
    return subprocess.run(
        [BREADLINE, *words], capture_output=True, text=True, timeout=120, cwd=cwd, stdin=subprocess.DEVNULL
    )


def breadline(*words: str, cwd: Path | None = None) -> Done:
    """The same ``main`` in this process; what nobody foresaw is raised here, a program would end with 1."""
    with _streams() as (out, err), contextlib.chdir(cwd or Path.cwd()):
        typed = patch.object(sys, "argv", [str(BREADLINE), *words])
        with typed, patch.object(sys, "excepthook"):
            code = contextvars.copy_context().run(_exit_code)
    return Done(list(words), code, _text(out), _text(err))


def _exit_code() -> int:
    with pytest.raises(SystemExit) as end:
        main()
    code = end.value.code
    assert code is None or isinstance(code, int)
    return code or 0


@contextlib.contextmanager
def _streams() -> Iterator[tuple[io.TextIOWrapper, io.TextIOWrapper]]:
    """Standard output and error of our own, as a pipe would be, and nothing to read."""
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True) for _ in range(2))
    with contextlib.ExitStack() as put:
        nothing = put.enter_context(open(os.devnull, encoding="utf-8"))
        for name, stream in (("stdin", nothing), ("stdout", out), ("stderr", err)):
            put.enter_context(patch.object(sys, name, stream))
        yield out, err


def _text(stream: io.TextIOWrapper) -> str:
    stream.seek(0)
    return stream.read()
