"""Real pollen: whose it is decides, and frost counts for nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.knowledge.countries import law_of
from breadline.knowledge.shelf import load
from breadline.ration.pollen_gate import Gate, Pollen, pollen_gate


def gate(country: str | None = "GB", **said) -> Gate:
    return pollen_gate(Pollen(**said), law_of(country), load().reader())


def keys(answered: Gate) -> list[str]:
    return [r.key for r in answered.remarks]


def test_own_pollen_of_healthy_hives_passes_and_asks_for_a_halt_at_the_first_sign():
    answered = gate(origin="own", free_of_foulbrood=True)
    assert answered.answer == "passes"
    assert "first sign of foulbrood" in answered.text


def test_own_pollen_of_hives_that_nobody_looked_through_is_refused():
    answered = gate(origin="own")
    assert (answered.answer, keys(answered)[0]) == ("refused", "pollen_own_unchecked")


@pytest.mark.parametrize("origin", ["bought", "unknown"])
def test_pollen_without_papers_is_refused_with_the_reason(origin):
    answered = gate(origin=origin)
    assert answered.answer == "refused"
    assert "4.5 million spores" in answered.text


irradiated = st.builds(
    Pollen,
    origin=st.sampled_from(["own", "bought", "unknown"]),
    free_of_foulbrood=st.booleans(),
    rays=st.sampled_from([None, "gamma", "electron beam"]),
    dose_kgy=st.none() | st.floats(0.1, 200),
    certificate=st.booleans(),
)


@given(irradiated)
def test_freezing_never_changes_the_answer(pollen):
    plain = pollen_gate(pollen, law_of("US"), load().reader())
    frozen = Pollen(
        pollen.origin, pollen.free_of_foulbrood, pollen.rays, pollen.dose_kgy, pollen.certificate, True
    )
    with_frost = pollen_gate(frozen, law_of("US"), load().reader())
    assert with_frost.answer == plain.answer
    assert "Freezing does not kill foulbrood spores" in with_frost.text


@given(irradiated)
def test_nothing_passes_but_healthy_own_hives_or_a_dose_on_a_certificate(pollen):
    answer = pollen_gate(pollen, law_of("AU"), load().reader()).answer
    own = pollen.origin == "own" and pollen.free_of_foulbrood
    certified = pollen.rays is not None and pollen.certificate and pollen.dose_kgy is not None
    assert own or certified or answer == "refused"


@given(st.floats(0.1, 99), st.floats(0.1, 99))
def test_more_gamma_rays_are_never_judged_worse(one, other):
    order = ["refused", "warned", "passes"]
    less, more = sorted([one, other])
    low, high = (
        order.index(gate(rays="gamma", dose_kgy=dose, certificate=True).answer) for dose in (less, more)
    )
    assert low <= high


@pytest.mark.parametrize("said", [{"dose_kgy": 25.0}, {"certificate": True}, {}])
def test_irradiated_without_certificate_or_dose_is_refused(said):
    answered = gate(origin="bought", rays="gamma", **said)
    assert (answered.answer, keys(answered)[0]) == ("refused", "pollen_no_certificate")


def test_the_certificate_is_shown_against_what_is_published():
    assert "25 kGy" in (text := gate(rays="gamma", dose_kgy=25.0, certificate=True).text)
    assert "15 to 20 kGy" in text
    assert "comb and honey, not for pollen" in text


def test_rays_do_not_make_healthy_own_pollen_worse():
    assert gate(origin="own", free_of_foulbrood=True, rays="gamma", dose_kgy=5.0).answer == "passes"


@pytest.mark.parametrize("said", [{"rays": "sunlight"}, {"origin": "a friend"}])
def test_an_unknown_word_is_an_error_and_no_pass(said):
    with pytest.raises(RecipeError) as error:
        gate(**{"rays": "gamma", "dose_kgy": 25.0, "certificate": True} | said)
    assert "is unknown" in error.value.what


def test_an_electron_beam_is_warned_of_at_any_dose_since_it_reaches_a_little_way():
    for dose in (10.0, 25.0, 50.0):
        answered = gate(rays="electron beam", dose_kgy=dose, certificate=True)
        assert answered.answer == "warned"
        assert "how thick the packs were" in answered.text


def test_far_too_much_is_warned_of():
    assert "pollen_dose_high" in keys(gate(rays="gamma", dose_kgy=100.0, certificate=True))


@pytest.mark.parametrize(("dose", "do"), [(15_000.0, "15 kGy"), (0.0, "certificate"), (-5.0, "certificate")])
def test_an_impossible_dose_is_an_error_that_says_what_to_do(dose, do):
    with pytest.raises(RecipeError) as error:
        gate(rays="gamma", dose_kgy=dose, certificate=True)
    assert do in error.value.do


def test_the_law_of_the_country_is_pointed_to():
    assert "may not be imported as bee feed from any country" in gate("US").text
    assert "animal by-products" in gate("GB").text
    assert "approved countries" in gate("IE").text
    assert "import permit" in (australia := gate("AU").text)
    assert "Western Australia" in australia
    nowhere = gate("").text
    assert "No country is given, so no law is told" in nowhere
    assert "Give the country, or ask" in nowhere
    assert "may be barred at a border" in nowhere
    assert "United States" not in nowhere
    unknown = gate("BR").text
    assert "No source on the rules of BR was read" in unknown
    assert "your bee inspector" in unknown
