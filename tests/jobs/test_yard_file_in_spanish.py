"""What is wrong with a yard file, told to a Spanish reader: no English inside the Spanish sentence."""

from __future__ import annotations

import pytest

from breadline.errors import InputToMend
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from house import tree

YARD = (tree.ROOT / "examples" / "first-yard" / "yard.toml").read_text("utf-8")


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("frames_of_bees = 5.5", "frames_of_bees = 55",
         "55 cuadros son más de lo que cabe en 1 caja de 10 cuadros. Se esperaba de 0 a 10 cuadros"),
        ("latitude = ", "latitude = 1", "-90 a 90 grados norte"),
        ("colonies = 24", "colonies = 0", "Se esperaba 1 a 200000 colonias"),
        ("latitude = ", "latitude = -", "no está en US, que queda al norte del ecuador. Se esperaba grados"),
        ("today = 2026-01-20", "", "falta. Se esperaba el día de la pregunta, como 2027-02-20"),
        ("[health]", "[[given]]\ngrams = 450\n[health]", "falta. Se esperaba el día en que se puso el alim"),
        ("frame_means", "# frame_means", "Diga con cuál cuenta usted: difieren en tres cuartas partes"),
        ("[health]", "[health]\nmites_on = 2026-02-01", "2026-02-01 es después de hoy, 2026-01-20"),
    ],
)  # fmt: skip
def test_it_is_said_in_spanish(tmp_path, was, now, said):
    assert was in YARD
    file = tmp_path / "yard.toml"
    file.write_text(YARD.replace("mites_on", "# mites_on").replace(was, now, 1), "utf-8")
    with speaking("es"), pytest.raises(InputToMend) as refused:
        read_yard(file)
    assert said in str(refused.value)
