"""The page Verdict: a spreadsheet in, the answer out, and what is wrong with the file beside the form."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from breadline.web.app import create_app
from web.conftest import HERE
from web.pretend_book import WINTER_DAY, PretendBook

EXAMPLE = (Path(__file__).parents[2] / "examples" / "first-verdict" / "colonies.csv").read_bytes()
SAID = {"cost": "16", "price": "18", "money": "$", "drawn": "lot", "one_row": "no"}


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def sent(client, content=EXAMPLE, **changed):
    return client.post("/verdict", data=SAID | changed, files={"file": ("last-year.csv", content)})


@pytest.fixture(scope="module")
def client():
    app = create_app(Path("pretend.sqlite"), PretendBook().opened, lambda: WINTER_DAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


@pytest.fixture(scope="module")
def shown(client):
    return sent(client)


def test_the_form_asks_and_ships_no_price(client):
    html = client.get("/verdict").text
    assert 'aria-current="page">Verdict' in html
    assert re.search(r'name="cost" value=""', html)
    assert re.search(r'name="price" value=""', html)


def test_the_first_sentence_is_the_class(shown):
    assert shown.status_code == 200
    text = plain(shown.text)
    assert re.search(
        r"<h1[^>]*>Fed colonies ended ahead; whether that covered the cost is open\.</h1>", shown.text
    )
    assert "Left over +$3 a colony −$6 to +$13" in text
    assert "pairs more would settle it" in text
    assert shown.text.count("<svg") >= 4
    assert "Where colonies went" in text


def test_the_paper_is_the_verdict_and_a_sheet_behind_it(client, shown):
    key = shown.url.path.rsplit("/", 1)[-1]
    for paper, wide in (("us-letter", 612), ("a4", 595)):
        answer = client.get(f"/verdict/{key}/page.pdf?paper={paper}")
        read = PdfReader(io.BytesIO(answer.content))
        assert len(read.pages) == 2
        assert round(float(read.pages[0].mediabox.width)) == wide
        assert "whether that covered the cost is open" in " ".join(read.pages[0].extract_text().split())
        assert "Error of grading" in read.pages[1].extract_text()


def test_a_bad_file_is_said_beside_the_form_and_what_was_typed_stays(client):
    answer = sent(client, b"colony,arm,end\n1,fed,7\n1,check,6\n", differently="other <b>strips</b>")
    assert answer.status_code == 422
    assert "stands in both groups" in plain(answer.text)
    assert 'value="16"' in answer.text
    assert "<b>strips" not in answer.text


def test_an_unfair_comparison_shows_no_difference(client):
    answer = sent(client, drawn="hand")
    text = plain(answer.text)
    assert "Not a fair comparison" in text
    assert "Fed less check" not in text
    assert "lots decide which stay unfed" in text


def test_what_is_not_kept_any_more_is_said(client):
    answer = client.get("/verdict/nothere")
    assert answer.status_code == 422
    assert "Give the spreadsheet again" in plain(answer.text)


def test_a_spreadsheet_may_be_longer_than_a_form_but_not_without_end(client):
    row = b"%d,A yard with a name as long as the way to it " + b"and back " * 20 + b"%d,%s,6,%d,\n"
    rows = b"".join(row % (k, k % 5, (b"fed", b"check")[k // 5 % 2], 5 + k % 4) for k in range(300))
    assert len(rows) > 64 * 1024
    assert sent(client, b"colony,yard,arm,baseline,end,status\n" + rows, one_row="").status_code == 200
    assert sent(client, b"x" * 5_000_000).status_code == 413


def test_earlier_evidence_stands_second_where_the_forage_was_noted(client, shown):
    assert "known before" not in plain(shown.text)
    text = plain(sent(client, situation="dearth").text)
    first = text.index("whether that covered the cost is open")
    second = text.index(
        "Together with what was known before, the chance that feeding pays here, fed through a"
    )
    assert first < second < text.index("Left over")


def test_the_feed_is_typed_where_it_teaches_and_goes_into_the_file(client, shown):
    said = {
        "season": "autumn 2026",
        "situation": "dearth",
        "protein": "15",
        "given": "2026-10-01 450 g\n1/11 1 lb",
    }
    wrong = client.post(f"{shown.url.path}/trial.json", data=said)
    assert wrong.status_code == 422
    assert "no day that means one day only" in wrong.text
    assert "2026-10-01 450 g\n1/11 1 lb</textarea>" in wrong.text
    right = client.post(
        f"{shown.url.path}/trial.json", data=said | {"given": "2026-10-01 450 g\n2026-11-01 1 lb"}
    )
    assert right.json()["feed"] == {
        "protein_pct": 15.0, "real_pollen_pct": None, "given": [["2026-10-01", 450.0], ["2026-11-01", 453.6]],
    }  # fmt: skip


def test_on_a_phone_each_number_of_a_table_stands_beside_what_it_is(client):
    head, *lines = EXAMPLE.decode("utf-8-sig").splitlines()
    days = [f"{line},{'2027-01-07' if line.endswith('dead') else '2027-02-10'}" for line in lines]
    page = sent(client, "\n".join([f"{head},Graded on", *days]).encode()).text
    for named in ("Every yard and group", "Losses day by day"):
        table = page.partition(f'aria-label="{named}"')[2].partition("</table>")[0]
        assert '<table class="fold">' in table
        heads = re.findall(r'<th scope="col">([^<]*)</th>', table)[1:]
        rows = table.partition("<tbody>")[2].split("</tr>")[:-1]
        assert rows
        assert all(re.findall(r'<td data-head="([^"]*)"', row) == heads for row in rows)


def test_what_check_colonies_got_turns_the_question(client):
    sugar = sent(client, check_got="sugar")
    assert "patty of sugar alone: what differs is the protein feed, not the sugar" in plain(sugar.text)
    assert "What it teaches" not in plain(sugar.text)  # of feeding it says nothing


def test_what_was_read_beside_frames_is_described_behind_the_answer(client):
    lines = EXAMPLE.decode("utf-8-sig").splitlines()
    more = [f"{lines[0]},brood", *(f"{line},{n % 6}" for n, line in enumerate(lines[1:]))]
    shown = sent(client, "\n".join(more).encode())
    text = plain(shown.text)
    assert "Described, not decided on" in text
    assert re.search(r"Brood, lost colonies as 0: fed less check −?\d\.\d frames? of brood, from", text)
    assert "Brood, lost" not in plain(sent(client).text)


@pytest.mark.parametrize(("typed", "money"), [("1,500", "US$"), ("3.500", "CLP")])
def test_a_price_that_may_be_two_numbers_is_asked(client, typed, money):
    answer = sent(client, cost=typed, money=money)
    assert answer.status_code == 422
    assert "can be read in two ways" in plain(answer.text)
