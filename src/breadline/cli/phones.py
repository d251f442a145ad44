"""``breadline phones`` and ``breadline certificate``: who may send over the network of the house."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from breadline.cli.book_typed import refuse_missing
from breadline.cli.printed import say, shown
from breadline.errors import InputToMend, RecordError
from breadline.jobs.field_book import FieldBook
from breadline.jobs.phones import PhonesBook, in_address
from breadline.language import noted
from breadline.language import say as worded
from breadline.need.words import day_and_year
from breadline.records.address import BookAt, typed

ANSWERS = {
    "stored": noted("written down"), "duplicate": noted("were in the book already"),
    "conflict": noted("wait for your word: the page In the yard shows them"),
    "refused": noted("could not be taken"),
}  # fmt: skip
STEPS = (
    noted("Send {authority} to the phone (by mail, cable or a memory card); the .key files stay here."),
    noted(
        "iPhone: open it, Settings > Profile downloaded > Install; then Settings > General > About > "
        "Certificate Trust Settings > switch it on."
    ),
    noted(
        "Android: Settings > Security > Encryption and credentials > Install a certificate > CA certificate."
    ),
    noted(
        "Then: breadline serve BOOK --on {name} --certificate {folder}, "
        "and open https://{address}:8417/pair there."
    ),
    noted("It can vouch for {names} only. To take it back, delete it from the phone."),
)


def run(path: BookAt, pair: str | None, revoke: str | None, as_json: bool) -> None:
    """List the phones of a book; offer a code to one, or let one in no longer."""
    refuse_missing(path)
    book = PhonesBook(path)
    if revoke is not None:
        book.revoke(revoke)
    code = book.offer(pair) if pair is not None else None
    rows = book.phones()
    if as_json:
        told = [{"name": one.name, "paired": one.paired} for one in rows]
        shown({"shape": "breadline.phones/1", "phones": told, "code": code})
        return
    if code is not None:
        say(
            worded(
                "Code for {pair}: {code}. It holds for ten minutes.",
                pair=pair,
                code=f"{code[:4]} {code[4:]}",
            )
        )
        say(worded("On the phone open /pair at the address that breadline serve BOOK --on ADDRESS prints."))
    if revoke is not None:
        say(worded("{revoke} is let in no longer.", revoke=revoke))
    for one in rows:
        say(f"{one.name}: {worded('paired') if one.paired else worded('offered a code, not paired yet')}")
    if not rows and revoke is None:
        say(
            worded("No phone may send to this book yet. breadline phones BOOK --pair NAME offers one a code.")
        )


def take(path: BookAt, file: Path, as_json: bool) -> int:
    """Take a phone's file in; 2 where a record could not be taken."""
    refuse_missing(path)
    try:
        body = file.read_bytes()
    except OSError as fault:
        raise RecordError(
            str(file),
            worded("it can't be read ({strerror})", strerror=fault.strerror),
            worded("a file of a phone"),
        ) from None
    try:
        told = FieldBook(path).take(body, saved=True)
    except InputToMend as wrong:
        if wrong.where != "file":
            raise
        raise RecordError(str(file), wrong.what, wrong.expected, wrong.do) from None
    if as_json:
        shown(told)
    else:
        for answer, words in ANSWERS.items():
            rows = [one for one in told["answers"] if one["answer"] == answer]
            if rows:
                say(f"{len(rows)} {worded(words)}.", *(f" - {one['why']}" for one in rows if one["why"]))
    return 2 if any(one["answer"] == "refused" for one in told["answers"]) else 0


def certificate(folder: Path, names: Sequence[str], anew: bool, as_json: bool) -> None:
    """Make an authority and a certificate for this machine, and say how a phone comes to trust it."""
    from breadline.jobs.certificate import make_certificate

    made = make_certificate(folder, names, anew=anew)
    if as_json:
        shown({
            "shape": "breadline.certificate/1", "authority": str(made.authority), "host": str(made.host),
            "names": list(made.names), "until": made.until.isoformat(), "new_authority": made.new_authority,
        })  # fmt: skip
        return
    say(
        worded(
            "Made for {names}; holds until {until}, then make it again.",
            names=", ".join(made.names),
            until=day_and_year(made.until.date()),
        )
    )
    if not made.new_authority:
        say(worded("Its authority is the one that lay there: phones that trust it need nothing more."))
    for number, step in enumerate(STEPS, start=1):
        told = worded(
            step,
            authority=made.authority,
            folder=typed(folder),
            name=made.names[0],
            names=", ".join(made.names),
            address=in_address(made.names[0]),
        )
        say(f"{number}. {told}")
