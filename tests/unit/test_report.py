"""Terminal, page and JSON say what the assessment says, whatever its name and whatever is missing."""

import io
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from typing import get_args

import pytest
from rich.console import Console

from clutchwright.assess.budgets import Place
from clutchwright.assess.checks import Check, State, at_most
from clutchwright.assess.figures import FIGURES
from clutchwright.assess.verdict import DOUBTFUL, HARMLESS, Word
from clutchwright.changes import CHANGES, find, parse
from clutchwright.picture.pull import bite_band
from clutchwright.plain import printable
from clutchwright.report.answer import answer, certainty, rests_on
from clutchwright.report.budgets import force_table, places_table, travel_table
from clutchwright.report.cautions import BRIEF, CAUTIONS
from clutchwright.report.data import changes_to_json, to_json
from clutchwright.report.document import document
from clutchwright.report.drawing import ASCII, UNICODE, drawing
from clutchwright.report.figures import GROUPS, figure_tables
from clutchwright.report.page import page
from clutchwright.report.text import print_changes, to_console
from clutchwright.report.words import share
from clutchwright.study.assessment import Assumption
from clutchwright.usecases import DEMOS, assess_bike, read_demo
from tests.unit.shown_assessment import NAN, assessment, changed, curve, hydraulic, short, unreachable

CASES = {
    "plain": assessment,
    "changed": changed,
    "hydraulic": hydraulic,
    "short": short,
    "unreachable": unreachable,
}
HOSTILE = '[bold red]</title><script>alert("x")</script>\x1b[31m\u202e&'
VOID = {"meta"}


def printed(found, width: int = 80, encoding: str = "utf-8", *, every: bool = True, **options) -> str:
    raw = io.BytesIO()
    file = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    to_console(found, Console(file=file, width=width, **options), every=every)
    file.flush()
    return raw.getvalue().decode(encoding)


@pytest.mark.parametrize("width", [20, 30, 44, 60])
@pytest.mark.parametrize("case", [assessment, changed])
def test_a_narrow_terminal_keeps_every_label_whole_word_by_word(case, width):
    found = case()
    shown = " ".join(printed(found, width=width).split())
    for table in (*figure_tables(found), force_table(found), travel_table(found)):
        for row in table.rows:
            # a number beside it may stand between the words of a label that is wrapped
            assert all(word in shown for word in row.cells[0].split() if len(word) <= 14), row.cells[0]


def test_a_terminal_too_narrow_for_columns_stacks_them():
    lines = [line.rstrip() for line in printed(assessment(), width=20).splitlines()]
    place = lines.index("  Peak pull")
    assert lines[place + 1].startswith("    Value: ")
    assert max(map(len, lines)) <= 20


def number(text: str) -> float:
    return float(re.sub(r"[^\d.-]", "", text.replace("\N{MINUS SIGN}", "-")))


class Outline(HTMLParser):
    """Tags that are open, attributes met, and the text outside styles and figures."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(source)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        while self.open[-1] in ("br", "rect", "path", "line"):
            self.open.pop()
        assert self.open.pop() == tag

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        if not {"style", "svg"} & set(self.open):
            self.text += data + " "


# Budgets


@pytest.mark.parametrize(
    ("table", "case", "rows", "total"),
    [
        (force_table, assessment, ["60.0", "10.0", "25.0", "3.0", "2.0"], "100.0"),
        (force_table, changed, ["48.0", "8.0", "20.0", "2.4", "1.6"], "80.0"),
        (travel_table, assessment, ["4.0", "3.0", "8.0", "20.0", "5.0"], "40.0"),
        (travel_table, short, ["4.0", "3.0", "10.0", "25.0", "\N{MINUS SIGN}2.0"], "40.0"),
    ],
)
def test_budget_tables_show_the_parts_and_their_sum(table, case, rows, total):
    found = table(case()).rows
    shown = [row.cells[-2].split("\N{NO-BREAK SPACE}")[0] for row in found]
    assert shown == [*rows, total]
    assert sum(number(row.cells[-1]) for row in found[:-1]) == 100
    assert [row.total for row in found] == [False] * len(rows) + [True]


def test_budgets_of_thirds_still_add_up_as_shown():
    now = assessment()
    third = replace(now, force=tuple(replace(item, value=100.0 / 3 if item.value else 0.0) for item in now.force[:4]))
    labels_only = replace(third, force=(*third.force, *(replace(item, value=0.0) for item in now.force[4:])))
    rows = force_table(labels_only).rows
    assert [row.cells[1].split("\N{NO-BREAK SPACE}")[0] for row in rows] == ["33.4", "33.3", "33.3", "100.0"]
    assert [row.cells[2] for row in rows] == ["34", "33", "33", "100"]


def test_before_stands_beside_now():
    table = force_table(changed())
    assert [column.heading for column in table.columns] == ["Part", "Before", "%", "Now", "%"]
    assert table.rows[-1].cells == tuple(
        text.replace(" ", "\N{NO-BREAK SPACE}") if text.endswith("N") else text
        for text in ("Pull at release", "100.0 N", "100", "80.0 N", "100")
    )


def spaced(text: str) -> str:
    return (
        text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{MULTIPLICATION SIGN}", "x").replace("\N{MINUS SIGN}", "-")
    )


def test_places_give_each_step_its_ratio_and_friction():
    rows = [[spaced(cell) for cell in row.cells[1:3]] for row in places_table(assessment()).rows]
    # 1/31.25 per metre is 32 mm
    assert rows == [
        ["", ""],
        ["x 1.0000", ""],
        ["x 5.00 mm", ""],
        ["÷ 32.00 mm", ""],
        ["x 1.0000", "x 1.270 + 2.5 N"],
        ["x 0.3125", ""],
    ]


def test_places_say_what_an_assist_spring_takes_off():
    now = assessment()
    helped = Place("arm_end", 230.0, "N", 31.25, 1.0, -20.0)
    found = replace(now, places=tuple(helped if place.key == "arm_end" else place for place in now.places))
    assert spaced(places_table(found).rows[3].cells[2]) == "- 20.0 N assist"


@pytest.mark.parametrize("name", DEMOS)
def test_the_places_as_shown_multiply_out(name):
    step = "assist-spring:rate_N_per_mm=1.5,pretension_N=80,hook_radius_mm=15,post_radius_mm=40,before_centre_deg=6"
    for steps in ((), (parse(step),)):
        table = places_table(replace(assess_bike(read_demo(name), steps), before=None))
        rows = [[spaced(cell) for cell in row.cells[1:]] for row in table.rows]
        for (*_, before), (ratio, way, force) in pairwise(rows):
            sign, factor = ratio.removesuffix(" mm").split()
            scale = 1e-3 if ratio.endswith("mm") else 1.0
            expected = float(before.split()[0]) * (
                1 / (float(factor) * scale) if sign == "÷" else float(factor) * scale
            )
            expected *= float(*re.findall(r"x ([\d.]+)", way) or ["1"])
            expected += float(re.sub(r"\s", "", "".join(re.findall(r"[+-] [\d.]+", way))) or 0)
            assert float(force.split()[0]) == pytest.approx(expected, rel=1e-3)


def test_a_cable_that_gave_way_to_oil_keeps_its_rows_beside_those_of_the_oil():
    labels = [row.cells[0] for row in places_table(hydraulic()).rows]
    assert labels[3:5] == ["Cable at the arm, now slave cylinder", "Cable at the lever, now master cylinder"]
    force = {row.cells[0]: [spaced(cell) for cell in row.cells[1:]] for row in force_table(hydraulic()).rows}
    assert force["Friction in the cable's bends"] == ["25.0 N", "25", "0.0 N", "0"]
    assert force["Friction of the two seals"] == ["0.0 N", "0", "10.0 N", "12"]
    travel = {row.cells[0]: [spaced(cell) for cell in row.cells[1:]] for row in travel_table(hydraulic()).rows}
    assert travel["Stretch of the cable"][2] == "0.0 mm"
    assert travel["Swelling of the hose"][2] == "1.0 mm"


def test_a_hydraulic_line_by_itself_has_no_words_of_a_cable():
    found = printed(replace(hydraulic(), before=None, changes=()))
    assert not re.search("cable", found[: found.index("Checks")], re.IGNORECASE)


def test_wear_of_a_line_that_sets_itself_does_not_apply():
    rows = {row.cells[0]: row.cells[1:] for table in document(hydraulic()).figures for row in table.rows}
    for label in (
        "Slip margin, worn, never adjusted",
        "Wear the free play lasts",
        "Share of the wear limit",
        "Wear until it slips unadjusted",
    ):
        assert rows[label][-1] == "does not apply"
        assert rows[label][0] != "does not apply"


def test_missing_travel_is_called_missing():
    row = next(row for row in travel_table(short()).rows if row.cells[0] == "To spare")
    assert row.note == "below zero: missing"
    assert not any(row.note for row in travel_table(assessment()).rows)


# Sentences


def test_the_answer_is_one_sentence_with_the_pull_and_what_decides():
    found = answer(changed()).replace("\N{NO-BREAK SPACE}", " ")
    assert found == (
        "Peak pull 80.0 ± 6.0 N at the finger, 20 % less than before; it releases with 0.25 mm of lift to spare "
        "(release margin rests on assumed lift spent on plates that are not flat)."
    )


PIVOT, HOT = "lever.pivot_friction", "pack.hot_factor"


@pytest.mark.parametrize(
    ("shares", "keys"),
    [
        pytest.param((0.5, 0.0), (), id="half is not more than half"),
        pytest.param((0.51, 0.4), (PIVOT,), id="one is enough"),
        pytest.param((0.2, 0.35), (HOT, PIVOT), id="two together, the greater first"),
        pytest.param((), (), id="nothing assumed"),
    ],
)
def test_what_the_deciding_figure_rests_on(shares, keys):
    assumed = tuple(Assumption(key, 1.0, 0.1, part, 0.9) for key, part in zip((PIVOT, HOT), shares, strict=False))
    found = replace(assessment(), assumed=assumed)
    assert rests_on(found) == keys
    assert to_json(found)["rests_on"] == list(keys)
    assert ("rests on assumed" in answer(found)) == bool(keys)
    assert any(text.startswith("It rests on assumed values") for text in certainty(found)) == bool(keys)


def test_how_sure_names_what_to_measure_first():
    resting = spaced(certainty(assessment())[1])
    theirs = "It rests on assumed values: 62 % of its variance is theirs."
    assert resting == f"{theirs} Measure first: lift spent on plates that are not flat."


@pytest.mark.parametrize(
    ("pull", "words"), [(99.8, "the same as before"), (103.0, "3 % more than before"), (50.0, "50 % less than before")]
)
def test_the_answer_compares_with_before(pull, words):
    found = changed()
    found = replace(found, figures=found.figures | {"pull_peak_N": pull})
    assert words in answer(found).replace("\N{NO-BREAK SPACE}", " ")


def test_certainty_counts_in_standard_uncertainties_and_bikes():
    first, _, second = (text.replace("\N{NO-BREAK SPACE}", " ") for text in certainty(changed()))
    # (0.25 mm - 0)/0.1 mm = 2.5
    assert first.endswith("release margin, 0.25 ± 0.10 mm against 0 mm, 2.5 standard uncertainties on the safe side.")
    assert second.startswith("Of 400 possible bikes that fit")
    for words in ("12 (3 %) slip", "0 (0 %) do not release", "200 (50 %) touch"):
        assert words in second


def test_few_samples_are_counted_without_shares():
    now = changed()
    few = replace(now, sampled=replace(now.sampled, samples=10, probability=now.sampled.probability | {"slips": 0.1}))
    text = certainty(few)[2]
    assert text.startswith("Of 10 possible bikes (few samples) that fit the measurements, 1 slip under")
    assert "%" not in text


@pytest.mark.parametrize(
    ("value", "u", "words"),
    [
        (0.25, float("nan"), "0.250 mm (u unknown) against 0 mm."),
        (-0.2, 0.1, "2.0 standard uncertainties on the wrong side."),
        (float("nan"), float("nan"), "which is not reached at all."),
        (0.25, 0.0, "0.2500 mm against 0 mm."),
    ],
)
def test_certainty_at_and_beyond_the_limit(value, u, words):
    now = assessment()
    found = replace(now, figures=now.figures | {"release_margin_mm": value}, u=now.u | {"release_margin_mm": u})
    assert certainty(found)[0].replace("\N{NO-BREAK SPACE}", " ").endswith(words)


@pytest.mark.parametrize(
    ("part", "text"), [(0.0, "0 %"), (0.004, "under 1 %"), (0.006, "1 %"), (0.625, "62 %"), (1.0, "100 %")]
)
def test_a_small_share_is_not_called_none(part, text):
    assert share(part).replace("\N{NO-BREAK SPACE}", " ") == text


# Document


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        pytest.param(30.0, 39.9, "30.00 to 39.90 mm", id="before the stop at 40 mm"),
        pytest.param(30.0, 41.0, "30.00 mm to beyond the stop", id="95 % beyond it"),
        pytest.param(40.5, 43.0, "beyond the stop", id="both beyond it"),
        pytest.param(NAN, NAN, "not reached", id="not reached"),
    ],
)
def test_a_release_point_beyond_the_stop_is_no_number(low, high, expected):
    now = changed()
    sampled = replace(
        now.sampled,
        p05=now.sampled.p05 | {"release_travel_mm": low, "release_margin_mm": 45.0},
        p95=now.sampled.p95 | {"release_travel_mm": high, "release_margin_mm": 46.0},
    )
    rows = {row.cells[0]: row for table in document(replace(now, sampled=sampled)).figures for row in table.rows}
    assert spaced(rows["Release point"].cells[-1]) == expected
    assert spaced(rows["Release margin"].cells[-1]) == "45.00 to 46.00 mm"


def test_a_check_that_is_a_figure_is_rounded_alike():
    heat = at_most("start_energy", "Heat", 0.02508, limit=0.8, tight=0.64, unit="J/mm²", note="")
    power = at_most("start_power", "Power", 0.1409, limit=1.5, tight=1.2, unit="W/mm²", note="")
    now = assessment()
    u = {"start_energy_J_per_mm2": 0.0101, "start_power_W_per_mm2": 0.029}
    rows = document(replace(now, checks=(heat, power), u=now.u | u)).checks.rows
    assert [spaced(cell) for cell in rows[0].cells[2:]] == ["0.025 J/mm²", "0.8 J/mm²"]
    assert [spaced(cell) for cell in rows[1].cells[2:]] == ["0.141 W/mm²", "1.5 W/mm²"]


def test_shares_of_doubt_are_those_of_the_margin_and_of_the_pull():
    table = document(assessment()).assumed
    assert [column.heading for column in table.columns[2:]] == ["Margin's doubt", "Pull's doubt"]
    assert [[spaced(cell) for cell in row.cells[2:]] for row in table.rows] == [["62 %", "0 %"], ["0 %", "25 %"]]
    assert [row["pull_share"] for row in to_json(assessment())["assumed"]] == [0.0, 0.25]


def test_drag_of_oil_is_called_no_forecast_wherever_it_stands():
    labels = [figure.label for figure in FIGURES if figure.key.startswith("drag_")]
    assert len(labels) == 2
    assert all(label.endswith("(to compare, not a forecast)") for label in labels)


def test_the_legend_explains_each_word_and_which_checks_are_mild():
    found = assess_bike(read_demo())
    meanings = {row.cells[0]: row.cells[1] for row in document(found).legend.rows}
    assert meanings.keys() == {*get_args(Word), *get_args(State)}
    mild = [check.label for check in found.checks if check.key in HARMLESS]
    assert len(mild) == len(HARMLESS)
    assert all(label in meanings["failed"] for label in mild)
    assert share(DOUBTFUL) in meanings["sound"]


def test_every_figure_is_in_one_group():
    named = [key for keys in GROUPS.values() for key in keys]
    assert sorted(named) == sorted(figure.key for figure in FIGURES)


def test_checks_that_ask_for_something_come_first():
    assert [row.cells[1] for row in document(assessment()).checks.rows] == ["not checked", "passed"]


def test_nothing_assumed_is_said():
    assert "Nothing was assumed." in printed(replace(assessment(), assumed=()))


def test_cautions_name_each_danger():
    text = " ".join(CAUTIONS)
    for words in (
        "never a release to ride",
        "brakes off and engine off",
        "slips",
        "drags",
        "touches the grip",
        "closed or legal, empty, dry road",
        "workshop manual and local law",
        "licensed mechanic",
        "pain",
    ):
        assert words in text


# Terminal


@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_terminal_shows_everything_within_its_width(case, width):
    found = case()
    text = printed(found, width)
    assert max(map(len, text.splitlines())) <= width
    flat = " ".join(text.split())
    assert f"{found.verdict.word.upper()}. Peak pull" in flat
    for words in ("At the finger", "Slip margin, worn and hot", "How sure", "pack.flatness_mm", "62 %", *CAUTIONS):
        assert words in flat.replace(" - ", " ")


def test_the_terminal_names_the_changes():
    text = " ".join(printed(changed()).split())
    assert "Longer release arm (length 40 mm)" in text.replace("\N{NO-BREAK SPACE}", " ")
    assert CHANGES["arm-length"].caution in text


def test_a_pipe_gets_no_escape_codes():
    assert "\x1b" not in printed(changed())
    assert "\x1b" in printed(changed(), force_terminal=True)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252"])
def test_a_console_without_unicode_gets_plain_characters(encoding):
    text = printed(changed(), encoding=encoding)
    assert text.isascii()
    assert "80.0 +/- 6.0 N" in text
    assert "/ 32.00 mm" in text
    assert "# pull  o return  . pull before" in text


def test_a_hostile_name_is_text_in_the_terminal():
    text = printed(replace(assessment(), name=HOSTILE), force_terminal=True, color_system=None)
    assert '[bold red]</title><script>alert("x")</script>' in text
    assert "\x1b[31m" not in text
    assert "\u202e" not in text


def test_printable_keeps_letters_of_all_scripts():
    assert printable("Ölkupplung 離合器 №1") == "Ölkupplung 離合器 №1"
    assert printable("a\nb\x07\u200e") == "a\ufffdb\ufffd\ufffd"


# 8 columns of 5 mm: the centres lie at 2.5, 7.5, 12.5, ... mm. The pull there is 0, 43.75, 100, 100, ... N of 100 N, so
# rows 11, round(11 x 0.5625) = 6 and 0 of 11; the return 0, 21.9, 50 N lies in rows 11, 9 and round(5.5) = 6.
@pytest.mark.parametrize("signs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_the_drawing_puts_each_force_in_its_row(signs):
    lines = drawing(assessment(), 15, signs)
    plot = [line[7:].ljust(8) for line in lines[:12]]
    assert [row[2] for row in plot].index(signs.pull) == 0
    assert plot[0] == "  " + signs.pull * 6
    assert plot[6][1] == signs.pull
    assert plot[6][3:] == signs.back * 5
    assert plot[11][0] == signs.pull
    assert lines[0].startswith(" 100 N")
    assert lines[11].startswith("     0")
    assert lines[6].startswith("    50")
    # free play to 4 mm, bite band 6 to 12 mm, release at 35 mm, stop at 40 mm
    assert lines[14][7:] == "fbb    R"


def test_the_drawing_shows_stop_and_release():
    places = drawing(assessment(), 87, UNICODE)[14][7:]
    # 80 columns for 40 mm: two for each millimetre
    assert places.index("R") == 70
    assert places.index("S") == 79
    assert places[:9] == "f" * 9
    assert set(places[12:25]) == {"b"}


def test_the_drawing_ends_the_bite_band_at_the_stop():
    found = short()
    late = replace(found, figures=found.figures | {"bite_start_mm": 41.0})
    # 84 columns for 42 mm: the stop stands in column 80, the release in the last
    places = drawing(late, 91, ASCII)[14][7:]
    assert places[79:] == "bS  R"


@pytest.mark.parametrize(
    ("peak", "labels"),
    [
        pytest.param(107.0, {1: "100 N", 6: "50", 11: "0"}, id="107 N"),
        pytest.param(87.0, {5: "50 N", 11: "0"}, id="87 N"),
        pytest.param(150.0, {0: "150 N", 4: "100", 7: "50", 11: "0"}, id="150 N"),
        pytest.param(1.0, {0: "1 N", 6: "0.5", 11: "0"}, id="1 N"),
    ],
)
def test_the_force_axis_has_round_numbers(peak, labels):
    found = replace(assessment(), curve=curve(peak / 100.0))
    margin = {row: line[:6].strip() for row, line in enumerate(drawing(found, 80, UNICODE)[:12])}
    # a number stands in the row nearest to its force: 11 (1 - force/peak)
    assert {row: text for row, text in margin.items() if text} == labels


def test_without_full_torque_the_bite_band_starts_where_the_free_play_ends():
    now = assessment()
    never = replace(now, figures=now.figures | {"bite_full_mm": NAN})
    assert bite_band(never) == pytest.approx((4.0, 12.0))
    # where there is no budget the end of the free play is read off the curve: nothing is lifted up to 4 mm
    assert bite_band(unreachable()) == pytest.approx((4.0, 12.0))
    assert bite_band(now) == (6.0, 12.0)


def test_what_costs_no_money_costs_time():
    file = io.StringIO()
    print_changes([CHANGES["free-play"]], Console(file=file, width=120))
    assert re.search(r"Costs nothing but [\d.]+ h; can be undone\.", file.getvalue())


def test_the_list_of_changes_names_each():
    file = io.StringIO()
    print_changes(CHANGES.values(), Console(file=file, width=80))
    for change in CHANGES.values():
        assert f"{change.kind}: {change.title}" in file.getvalue()


# Page


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_page_is_whole_and_in_order(case):
    source = page(case())
    outline = Outline(source)
    assert outline.open == []
    assert source.startswith("<!DOCTYPE html>")
    headings = ["Where the force goes", "Where the travel goes", "The numbers", "How sure this is", "What was assumed"]
    places = [outline.text.index(text) for text in ("Peak pull", *headings, "Parts that must not", "Before you ride")]
    assert places == sorted(places)
    assert [tag for tag, _ in outline.tags].count("h1") == 1
    assert ("html", {"lang": "en"}) in outline.tags
    assert all(
        attributes["role"] == "img" and attributes["aria-label"] for tag, attributes in outline.tags if tag == "svg"
    )


def test_why_comes_before_all_figures_and_they_are_folded():
    source = page(assessment())
    seen = re.sub(r"<details>.*?</details>", "", source, flags=re.DOTALL)
    assert source.index("Where the travel goes") < source.index("A dropped clutch")
    assert "A dropped clutch" not in seen
    assert "Slip margin, worn and hot" in seen
    assert "details::details-content { content-visibility: visible" in source.partition("@media print")[2]


def test_each_table_of_the_page_has_a_caption_and_headings():
    outline = Outline(page(changed()))
    names = [tag for tag, _ in outline.tags]
    assert names.count("caption") == names.count("table") > 10
    assert all(attributes.get("scope") in ("col", "row") for tag, attributes in outline.tags if tag == "th")


def test_the_page_asks_for_nothing_from_elsewhere():
    outline = Outline(page(changed()))
    assert not {"script", "link", "img", "iframe", "object", "embed", "audio", "video"} & {
        tag for tag, _ in outline.tags
    }
    fetching = {"src", "href", "srcset", "data", "action", "xlink:href", "background"}
    places = [pair for _, attributes in outline.tags for pair in attributes.items()]
    assert not fetching & {name for name, value in places if not str(value).startswith("#")}
    source = page(changed())
    assert "@import" not in source
    assert not re.search(r"url\((?!#)", source)
    assert "default-src 'none'" in source


def test_a_hostile_name_is_text_on_the_page():
    source = page(replace(assessment(), name=HOSTILE))
    assert "<script" not in source
    assert '[bold red]</title><script>alert("x")</script>' in Outline(source).text
    assert "\x1b" not in source
    assert "\u202e" not in source


def test_the_page_shows_the_numbers_of_the_assessment():
    text = " ".join(Outline(page(changed())).text.split())
    for words in ("100.0 ± 6.0 N", "80.0 ± 6.0 N", "48.0 N", "20.0 mm", "12 (3 %) slip", *CAUTIONS):
        assert words in text
    for figure in FIGURES:
        assert figure.label in text


def test_the_page_says_first_that_it_is_no_release_to_ride_and_which_changes_its_figures_show():
    source = page(changed())
    outline = Outline(source)
    assert outline.text.index(CAUTIONS[0]) < outline.text.index("The numbers")
    figures = [attributes["aria-label"] for tag, attributes in outline.tags if tag == "svg"]
    assert all("Changed: Longer release arm (length 40 mm)." in spaced(words) for words in figures)


def test_no_heading_stands_alone_at_the_foot_of_a_sheet():
    style = page(assessment()).partition("@media print")[2]
    assert re.search(r"[\w, ]*\bh2\b[\w, ]* \{ break-after: avoid; \}", style)


def test_the_page_figures_take_their_colours_from_the_page():
    figures = re.findall(r"<svg .*?</svg>", page(changed()), re.DOTALL)
    assert len(figures) == 6
    assert not any(re.search(r'"#[0-9a-f]{6}"', figure) for figure in figures)


def test_the_page_says_when_release_is_out_of_reach():
    text = Outline(page(unreachable())).text
    assert "The lever never gets to a clean release" in text
    assert "not reached" in text
    assert "nan" not in text.lower().split()


def test_a_tight_part_in_the_headline_drops_neither_slip_nor_release():
    plain = assessment()
    tight = Check("returns", "Share of the pull left", "tight", 18.8, 5.0, "%", "", 20.0)
    reasons = (f"{tight.sentence}.", *plain.verdict.reasons)
    found = answer(replace(plain, checks=(tight,), verdict=replace(plain.verdict, reasons=reasons)))
    assert "only 18.8\N{NO-BREAK SPACE}%" in found
    assert "to spare" in found


def test_the_short_answer_says_what_decides_and_why_and_keeps_the_words_of_safety():
    short, whole = printed(assessment(), every=False), printed(assessment())
    assert len(short.splitlines()) < 70 < len(whole.splitlines())
    for words in ("Peak pull", "Slip margin, worn and hot", "Where the force goes", "How sure", "--all", *BRIEF):
        assert words in " ".join(short.split())
    assert "A dropped clutch" not in short
    assert all(caution in " ".join(whole.split()) for caution in CAUTIONS)


def test_the_short_answer_names_every_check_that_failed_or_is_tight_and_each_caution_of_a_change():
    found = changed()
    short = " ".join(printed(found, every=False).split())
    assert all(reason in short for reason in found.verdict.reasons[1:])
    assert all(warning in short for warning in found.warnings)
    assert all(find(step.kind).caution in short for step in found.changes)


# Data


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_json_is_strict_and_keeps_every_number(case):
    found = case()
    data = json.loads(json.dumps(to_json(found), allow_nan=False))
    for figure in FIGURES:
        value = found.figures[figure.key]
        assert data[figure.key] == (value if value == value else None)
    assert data["curve"]["pull_N"] == list(found.curve.pull_N)
    assert sum(row["value_N"] for row in data["force_budget"]) == pytest.approx(sum(item.value for item in found.force))
    assert [row["value_mm"] for row in data["travel_budget"]] == pytest.approx([i.value * 1e3 for i in found.travel])


def test_json_has_the_keys_of_the_contract():
    data = to_json(changed())
    keys = (
        "schema name verdict reasons assumed warnings pull_peak_N pull_at_release_N hold_N return_at_release_N "
        "work_pull_J floor_N lift_full_mm release_margin_mm clamp_new_N clamp_worn_N slip_margin_new slip_margin_worn "
        "curve samples seed p05 p50 p95 probability before u checks force_budget travel_budget places changes "
        "deciding tool"
    )
    assert set(keys.split()) <= data.keys()
    curve = "travel_mm span_mm pull_N return_N lift_mm clamp_N capacity_Nm"
    assert set(data["curve"]) == set(curve.split())
    assert set(data["probability"]) == {"slips", "does_not_release", "touches"}
    assert data["changes"] == [
        {"kind": "arm-length", "parameters": {"length_mm": 40.0}, "text": "arm-length:length_mm=40"}
    ]
    assert data["before"]["pull_peak_N"] == 100.0
    assert data["before"].keys() <= data.keys()


def test_json_leaves_out_what_was_not_asked_for():
    data = to_json(assessment())
    assert not {"before", "p05", "probability", "samples"} & data.keys()
    assert data["changes"] == []


def test_kinds_of_change_as_json():
    data = json.loads(json.dumps(changes_to_json(CHANGES.values()), allow_nan=False))
    assert [row["kind"] for row in data] == list(CHANGES)
    assert all(row["title"] and row["caution"] for row in data)
