"""The text of a weather file, whatever it was packed or encoded in."""

from __future__ import annotations

import gzip
import zlib
from pathlib import Path

from breadline.errors import WeatherError
from breadline.language import noted, say, say_later
from breadline.weather.table import Note

BOMS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
SAVE_AGAIN = noted("Save it again as CSV in UTF-8")


def text_of(path: Path) -> tuple[str, tuple[Note, ...]]:
    """The file's text and notes on how it was decoded.

    Errors
    ------
    WeatherError
        If the file is not there, empty, a spreadsheet, or not safely decodable.
    """
    where = path.name
    try:
        raw = path.read_bytes()
    except OSError as fault:
        raise WeatherError(
            where,
            say("cannot be read ({strerror})", strerror=fault.strerror),
            say("a file"),
            say("Check the path"),
        ) from fault
    if raw[:2] == b"\x1f\x8b":
        raw = _unpacked(raw, where)
    if not raw.strip():
        raise WeatherError(
            where, say("the file is empty"), say("a header and rows of weather"), say("Download it again")
        )
    if raw[:2] == b"PK" or raw[:4] == b"\xd0\xcf\x11\xe0":
        raise WeatherError(
            where, say("this is a spreadsheet or a zip archive"), say("a text file"), say(SAVE_AGAIN)
        )
    text, notes = _decoded(raw, where)
    if not text.strip():
        raise WeatherError(
            where, say("the file is empty"), say("a header and rows of weather"), say("Download it again")
        )
    return text, notes


def _unpacked(raw: bytes, where: str) -> bytes:
    try:
        return gzip.decompress(raw)
    except (OSError, EOFError, zlib.error) as fault:
        raise WeatherError(
            where, say("the .gz file is broken"), say("a whole file"), say("Download it again")
        ) from fault


def _decoded(raw: bytes, where: str) -> tuple[str, tuple[Note, ...]]:
    for mark, encoding in BOMS:
        if raw.startswith(mark):
            return _as(raw, encoding, where)
    if b"\0" in raw[:2000]:
        even, odd = raw[0:2000:2].count(0), raw[1:2000:2].count(0)
        return _as(raw, "utf-16-le" if odd > even else "utf-16-be", where)
    try:
        return raw.decode("utf-8"), ()
    except UnicodeDecodeError:
        pass  # an older one-byte encoding: judged below by the bytes it uses
    strange = {byte for byte in raw if byte >= 0x80}
    if any(byte < 0xA0 for byte in strange):
        raise WeatherError(where, say("the encoding is neither UTF-8 nor Latin-1"), "UTF-8", say(SAVE_AGAIN))
    count = sum(byte >= 0x80 for byte in raw)
    said = say_later("Read as Latin-1: {n} letters outside ASCII, such as the degree sign.", n=count)
    return raw.decode("latin-1"), (Note("assumed", said, count),)


def _as(raw: bytes, encoding: str, where: str) -> tuple[str, tuple[Note, ...]]:
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as fault:
        raise WeatherError(
            where, say("cannot be decoded as {encoding}", encoding=encoding), "UTF-8", say(SAVE_AGAIN)
        ) from fault
    if "\0" in text:
        raise WeatherError(
            where, say("this is not a text file"), say("CSV, JSON or fixed-width text"), say(SAVE_AGAIN)
        )
    if encoding == "utf-8-sig":
        return text, ()
    said = say_later("Read as {encoding}; other programs may expect UTF-8.", encoding=encoding.upper())
    return text, (Note("assumed", said),)
