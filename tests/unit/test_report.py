"""Terminal, page and JSON say what the assessment says, whatever its name and whatever is missing."""

import io
import json
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from rich.console import Console

from clutchwright.assess.figures import FIGURES
from clutchwright.changes import CHANGES
from clutchwright.report.answer import answer, certainty
from clutchwright.report.budgets import force_table, places_table, travel_table
from clutchwright.report.cautions import CAUTIONS
from clutchwright.report.data import changes_to_json, to_json
from clutchwright.report.document import document
from clutchwright.report.drawing import ASCII, UNICODE, drawing
from clutchwright.report.figures import GROUPS
from clutchwright.report.page import page
from clutchwright.report.text import print_changes, to_console
from clutchwright.report.words import printable, share
from tests.unit.shown_assessment import assessment, changed, short, unreachable

CASES = {"plain": assessment, "changed": changed, "short": short, "unreachable": unreachable}
HOSTILE = '[bold red]</title><script>alert("x")</script>\x1b[31m\u202e&'
VOID = {"meta"}


def printed(found, width: int = 80, encoding: str = "utf-8", **options) -> str:
    raw = io.BytesIO()
    file = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    to_console(found, Console(file=file, width=width, **options))
    file.flush()
    return raw.getvalue().decode(encoding)


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


def test_places_give_each_step_its_ratio():
    cells = [row.cells[1].replace("\N{NO-BREAK SPACE}", " ") for row in places_table(assessment()).rows]
    # 1/31.25 per metre is 32 mm
    assert cells == ["", "× 1.000", "× 5.00 mm", "÷ 32.00 mm", "× 1.000", "× 0.312"]  # noqa: RUF001


def test_missing_travel_is_called_missing():
    row = next(row for row in travel_table(short()).rows if row.cells[0] == "To spare")
    assert row.note == "below zero: missing"
    assert not any(row.note for row in travel_table(assessment()).rows)


# Sentences


def test_the_answer_is_one_sentence_with_the_pull_and_what_decides():
    found = answer(changed()).replace("\N{NO-BREAK SPACE}", " ")
    assert found == (
        "Peak pull 80.0 ± 6.0 N at the finger, 20 % less than before; it releases with 0.25 mm of lift to spare."
    )


@pytest.mark.parametrize(
    ("pull", "words"), [(99.8, "the same as before"), (103.0, "3 % more than before"), (50.0, "50 % less than before")]
)
def test_the_answer_compares_with_before(pull, words):
    found = changed()
    found = replace(found, figures=found.figures | {"pull_peak_N": pull})
    assert words in answer(found).replace("\N{NO-BREAK SPACE}", " ")


def test_certainty_counts_in_standard_uncertainties_and_bikes():
    first, second = (text.replace("\N{NO-BREAK SPACE}", " ") for text in certainty(changed()))
    # (0.25 mm - 0)/0.1 mm = 2.5
    assert first.endswith("release margin, 0.25 ± 0.10 mm against 0 mm, 2.5 standard uncertainties on the safe side.")
    assert second.startswith("Of 200 possible bikes")
    for words in ("6 (3 %) slip", "0 (0 %) do not release", "100 (50 %) touch"):
        assert words in second


@pytest.mark.parametrize(
    ("value", "u", "words"),
    [
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
    assert "arm-length:length_mm=40" in text
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
    headings = ["The numbers", "Where the force goes", "Where the travel goes", "How sure this is", "What was assumed"]
    places = [outline.text.index(text) for text in ("Peak pull", *headings, "Parts that must not", "Before you ride")]
    assert places == sorted(places)
    assert [tag for tag, _ in outline.tags].count("h1") == 1
    assert ("html", {"lang": "en"}) in outline.tags
    assert all(
        attributes["role"] == "img" and attributes["aria-label"] for tag, attributes in outline.tags if tag == "svg"
    )


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
    assert not fetching & {name for _, attributes in outline.tags for name in attributes}
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
    for words in ("100.0 ± 6.0 N", "80.0 ± 6.0 N", "48.0 N", "20.0 mm", "6 (3 %) slip", *CAUTIONS):
        assert words in text
    for figure in FIGURES:
        assert figure.label in text


def test_the_page_figures_take_their_colours_from_the_page():
    figures = re.findall(r"<svg .*?</svg>", page(changed()), re.DOTALL)
    assert len(figures) == 6
    assert not any(re.search(r'"#[0-9a-f]{6}"', figure) for figure in figures)


def test_the_page_says_when_release_is_out_of_reach():
    text = Outline(page(unreachable())).text
    assert "The lever never gets to a clean release" in text
    assert "not reached" in text
    assert "nan" not in text.lower().split()


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
