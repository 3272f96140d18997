"""All setups that keep the limits of a search: tighter limits need no new search."""

from dataclasses import replace

import numpy as np
import pytest

from clutchwright import usecases
from clutchwright.bikefile import assemble
from clutchwright.changes import apply
from clutchwright.errors import InputError
from clutchwright.report.setups import COLUMNS, setups_to_json, study_from_json
from clutchwright.report.study import study_sheet, study_to_json
from clutchwright.study import kept as kept_module
from clutchwright.study.front import best
from clutchwright.study.kept import kept_setups, row_steps
from clutchwright.study.limits import Limits
from clutchwright.study.search import OBJECTIVES, search

BIKE = usecases.read_demo()
TEXT = usecases.demo_catalogue_text()
CATALOGUE = usecases.priced_catalogue(TEXT.replace("range = [33, 41]", "values = [33, 37, 41]"), "shop")
SAMPLE = usecases.draw_bikes(BIKE, 256, 1)
LOOSE = Limits(0.2, 0.1)
FOUND = search(BIKE, CATALOGUE, sample=SAMPLE, limits=LOOSE)
KEPT = kept_setups(BIKE, FOUND)


def front_of(found):
    return {
        (tuple(map(str, setup.steps)), *(round(getattr(setup, name), 9) for name, _ in OBJECTIVES))
        for setup in found.front
    }


def filtered(limits, without=()):
    """The best of the kept setups, held against tighter limits."""
    columns = {name: FOUND.table.columns[name][KEPT.rows] for name in COLUMNS}
    left = [place for place, option in enumerate(FOUND.options) if option.name in without]
    fine = (columns["slips"] <= limits.slips) & (columns["does_not_release"] <= limits.does_not_release)
    fine &= ~np.any(FOUND.table.choices[KEPT.rows][:, left] > 0, axis=1)
    points = np.stack([sign * columns[name][fine] for name, sign in OBJECTIVES], axis=1)
    rows = KEPT.rows[fine][best(points)]
    return {
        (
            tuple(map(str, row_steps(FOUND, row))),
            *(round(float(FOUND.table.columns[name][row]), 9) for name, _ in OBJECTIVES),
        )
        for row in rows.tolist()
    }


@pytest.mark.parametrize("limits", [LOOSE, Limits(0.05, 0.1), Limits(0.2, 0.02), Limits(0.01, 0.01), Limits(0.0, 0.0)])
def test_tighter_limits_give_what_a_new_search_gives(limits):
    assert filtered(limits) == front_of(search(BIKE, CATALOGUE, sample=SAMPLE, limits=limits))


@pytest.mark.parametrize(
    "without", [("Grippier plates",), ("Softer springs", "Oil the cable"), ("Longer release arm",)]
)
def test_options_left_out_give_what_a_search_without_them_gives(without):
    alone = search(BIKE, CATALOGUE.without(without), sample=SAMPLE, limits=LOOSE)
    assert filtered(LOOSE, without) == front_of(alone)


def test_leaving_an_option_out_is_as_if_the_file_had_never_held_it():
    head, first, *rest = TEXT.split("[[option]]\n")
    assert 'name = "Oil the cable"' in first
    shorter = "[[option]]\n".join([head, *rest])
    assert usecases.priced_catalogue(TEXT, "shop").without(("Oil the cable",)) == usecases.priced_catalogue(
        shorter, "shop"
    )


def test_what_is_left_out_is_not_missed_by_what_excluded_it():
    (softer,) = [o for o in CATALOGUE.without(["Washers under the spring bolts"]).options if o.name == "Softer springs"]
    assert softer.excludes == ()


@pytest.mark.parametrize(
    ("names", "words"),
    [(["Oil the cabel"], "no such option"), ([option.name for option in CATALOGUE.options], "leave at least one")],
)
def test_one_cannot_leave_out_what_is_not_there_or_all(names, words):
    with pytest.raises(InputError, match=words):
        CATALOGUE.without(names)


def test_what_fails_a_check_is_not_kept_though_another_beats_it(monkeypatch):
    refused = KEPT.rows[[bool(FOUND.table.reason[row]) for row in KEPT.rows]][0]
    steps = row_steps(FOUND, int(refused))
    monkeypatch.setattr(
        kept_module, "_objection", lambda _bike, tried, **_: "fails the check coil" if tried == steps else ""
    )
    assert set(KEPT.rows) - set(kept_setups(BIKE, FOUND).rows) == {refused}


def test_more_than_can_be_looked_at_are_not_called_all(monkeypatch):
    assert KEPT.whole
    monkeypatch.setattr(kept_module, "MOST", 5)
    few = kept_setups(BIKE, FOUND)
    assert not few.whole
    assert len(few.rows) == len(FOUND.front) + 5


def test_progress_is_told():
    told = []
    search(BIKE, CATALOGUE, sample=SAMPLE, limits=LOOSE, progress=lambda *news: told.append(news))
    assert {what for what, _, _ in told} == {"going through the combinations"}
    assert [done for _, done, _ in told] == list(range(told[0][2]))


def test_data_holds_each_setup_once_with_its_words_and_steps():
    data = setups_to_json(FOUND, KEPT)
    rows = data["setups"]
    assert {len(rows[name]) for name in ("choices", *COLUMNS)} == {len(KEPT.rows) - len(FOUND.front)}
    shown = {
        tuple(data["options"][k]["choices"][c - 1]["step"] for k, c in enumerate(choices) if c)
        for choices in rows["choices"]
    }
    best_steps = {tuple(each["steps"]) for each in data["front"]}
    assert not shown & best_steps
    assert shown | best_steps == {tuple(map(str, row_steps(FOUND, row))) for row in KEPT.rows.tolist()}
    assert (
        data["front"][0]["words"][-2]
        == "Grippier plates (friction\N{NO-BREAK SPACE}\N{MULTIPLICATION SIGN}\N{NO-BREAK SPACE}1.25)"
    )


def test_a_search_read_back_says_the_same():
    data = study_to_json(FOUND, 0)
    back = study_from_json(data, CATALOGUE)
    assert study_to_json(back, 0) == data
    assert back.front == FOUND.front
    assert replace(study_sheet(back, 0), parts=()) == replace(study_sheet(FOUND, 0), parts=())


def test_each_kept_setup_knows_its_rest_span():
    for row, span_mm in zip(KEPT.rows.tolist()[::50], KEPT.rest_span_mm.tolist()[::50], strict=True):
        bike = apply(assemble(BIKE), row_steps(FOUND, row))
        assert span_mm == pytest.approx(float(bike.lever.rest_span) * 1e3)
