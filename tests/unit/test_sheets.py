"""Claims, patterns and plans in the terminal, on the page and as JSON."""

import io
import json
import re
from dataclasses import replace
from functools import cache

import pytest
from rich.console import Console

from clutchwright.assess.figures import FIGURES
from clutchwright.changes import find, parse
from clutchwright.numbers import quantity_text
from clutchwright.report.cautions import BRIEF, CAUTIONS
from clutchwright.report.claim import claim_sheet, claim_to_json
from clutchwright.report.patterns import letters, patterns_sheet, patterns_to_json
from clutchwright.report.plan import plan_sheet, plan_to_json
from clutchwright.report.sheet import Part, Sheet, print_sheet, sheet_page
from clutchwright.report.table import Column, Row, Table
from clutchwright.study.assessment import assess
from clutchwright.study.claims import Claim, Odds, State
from clutchwright.study.limits import Limits
from clutchwright.study.order import Job
from clutchwright.study.patterns import judge_patterns
from clutchwright.study.plan import Held, make_plan
from clutchwright.usecases import draw_bikes, read_demo

HOSTILE = '[bold red]</title><script>alert("x")</script>\x1b[31m\u202e&'
STEPS = tuple(map(parse, ("cable-service", "perch-shift:shift_mm=10", "springs-softer:rate_share=0.9")))


def claim(**changed) -> Claim:
    """A claim written by hand."""
    states = tuple(
        State(label, {figure.key: 1.5 for figure in FIGURES} | {"pull_peak_N": pull})
        for label, pull in (("today", 100.0), ("dependable", 70.0), ("utmost", 60.0), ("as claimed", 50.0))
    )
    odds = Odds(200, 1, (0.2, 0.3, 0.35), (0.3, 0.4, 0.45), 0.0, 0.04)
    found = Claim("Paper clutch", "leverage", 0.5, "useless", ("It drags.",), 0.3, 0.4, 0.55, states, odds)
    return replace(found, **changed)


@cache
def patterns():
    return judge_patterns(read_demo(), rate_share=0.8, sample=draw_bikes(read_demo(), 512, 1))


def plan_of(target_N=None, steps=STEPS):
    return make_plan(read_demo(), steps, target_N=target_N)


def sheets():
    bike = read_demo()
    return {
        "claim": claim_sheet(claim()),
        "patterns": patterns_sheet(bike.name, patterns(), rate_share=0.8, samples=512, every=True),
        "plan": plan_sheet(plan_of(80.0), bike),
    }


def printed(sheet, width=80, encoding="utf-8"):
    raw = io.BytesIO()
    file = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    print_sheet(sheet, Console(file=file, width=width))
    file.flush()
    return raw.getvalue().decode(encoding)


def squeezed(text):
    """Text on one line, spaces of all kinds alike."""
    return re.sub(r"\s+", " ", text)


# All sheets


@pytest.mark.parametrize("name", ["claim", "patterns", "plan"])
@pytest.mark.parametrize("width", [60, 80, 140])
def test_the_terminal_keeps_its_width_and_says_all(name, width):
    sheet = sheets()[name]
    text = printed(sheet, width)
    assert max(map(len, text.splitlines())) <= width
    flat = squeezed(text)
    assert sheet.word.upper() in flat
    for words in (sheet.answer, *sheet.points, *(part.heading for part in sheet.parts), "never a release to ride"):
        assert squeezed(words) in flat


@pytest.mark.parametrize("name", ["claim", "patterns", "plan"])
def test_a_terminal_without_unicode_gets_plain_signs(name):
    sheet = sheets()[name]
    assert printed(sheet, 80, "ascii").count("?") == printed(sheet, 80).count("?")


@pytest.mark.parametrize("name", ["claim", "patterns", "plan"])
def test_the_page_needs_nothing_beside_itself_and_carries_the_cautions(name):
    source = sheet_page(sheets()[name])
    assert "<script" not in source
    assert not re.findall(r'(?:src|href)=(?!"#)', source.replace("xlink:href", ""))
    text = squeezed(source)
    for caution in CAUTIONS:
        assert squeezed(caution) in text


@pytest.mark.parametrize("name", ["claim", "patterns", "plan"])
def test_the_terminal_says_the_cautions_in_brief_and_where_all_of_them_are(name):
    end = squeezed(printed(sheets()[name], 80)).rpartition("Mind")[2]
    assert all(squeezed(caution) in end for caution in BRIEF)
    assert "--page" in end
    assert len(end) < 600


def test_a_name_cannot_break_out():
    sheet = Sheet(HOSTILE, "word", "sound", "Answer.", (HOSTILE,), (Part(HOSTILE, tables=(hostile_table(),)),))
    source = sheet_page(sheet)
    assert "<script" not in source
    assert "&lt;script&gt;" in source
    assert "\x1b" not in printed(replace(sheet, points=(), parts=()))


def hostile_table():
    return Table(HOSTILE, (Column(HOSTILE),), (Row((HOSTILE,), note=HOSTILE),))


def test_an_empty_table_says_so():
    sheet = Sheet("a", "b", "sound", "c", (), (Part("d", tables=(Table("", (Column("e"),), (), "Nothing there."),)),))
    assert "Nothing there." in printed(sheet)
    assert "Nothing there." in sheet_page(sheet)


# Claims


def test_a_claim_gives_the_largest_honest_figure_the_costs_and_the_ways():
    text = squeezed(printed(claim_sheet(claim()), 120))
    assert "50 % off the pull by leverage alone" in text
    assert "largest honest figure for this bike is 30 % (20 to 35 %); at the very most it is 40 % (30 to 45 %)" in text
    assert text.startswith("Paper clutch PRACTICALLY EXCLUDED. 50 % off")
    assert "practically excluded, as only 8 in 200 bikes like yours might allow it" in text
    assert "never" not in claim_sheet(claim()).answer
    assert "Peak pull 100 N 70 N 60 N 50 N" in text
    assert (
        "Of 200 possible bikes (few samples) that fit the measurements, 0 allow 50 % off with margin, 8 at the very "
        "most" in text
    )
    for kind in ("cable-radius", "arm-length", "inline-unit"):
        assert find(kind).title in text


@pytest.mark.parametrize(
    ("word", "tone"), [("holds", "sound"), ("doubtful", "marginal"), ("useless", "unsafe"), ("impossible", "unsafe")]
)
def test_the_tone_follows_the_word(word, tone):
    assert claim_sheet(claim(word=word)).tone == tone


@pytest.mark.parametrize(
    ("part", "samples", "words"),
    [
        (4090 / 4096, 4096, "with a chance of over 99 %. "),
        (1.0, 4096, "with a chance of 4096 of 4096. "),
        (0.5, 4096, "with a chance of 50 %. "),
        (0.5, 20, "with a chance of 10 of 20. "),
    ],
)
def test_a_claim_that_holds_says_with_what_chance(part, samples, words):
    odds = Odds(samples, 1, (0.2, 0.3, 0.35), (0.3, 0.4, 0.45), part, part)
    assert words in squeezed(claim_sheet(claim(word="holds", odds=odds)).answer)
    assert "chance" not in claim_sheet(claim(odds=odds)).answer


@pytest.mark.parametrize(
    ("possible", "word", "words"),
    [
        (0.0, "useless", "the lever might be as light, but the clutch would not work"),
        (0.03, "practically excluded", "as only 3 in 100 bikes like yours"),
        (0.3, "not on the bike as measured", "though 30 in 100 bikes like yours"),
    ],
)
def test_a_claim_is_not_called_impossible_where_some_possible_bikes_allow_it(possible, word, words):
    sheet = claim_sheet(claim(odds=Odds(1000, 1, (0.2, 0.3, 0.35), (0.3, 0.4, 0.55), 0.0, possible)))
    assert sheet.word == word
    assert words in sheet.answer


def test_a_claim_without_odds_has_no_part_for_them():
    assert "How sure" not in [part.heading for part in claim_sheet(claim(odds=None)).parts]


def test_claims_as_data():
    data = json.loads(json.dumps(claim_to_json(claim(floor_share=float("nan"))), allow_nan=False))
    assert data["floor_share"] is None
    assert (data["word"], data["share"], data["utmost"]) == ("useless", 0.5, 0.4)
    assert [state["label"] for state in data["states"]] == ["today", "dependable", "utmost", "as claimed"]
    assert data["ways"][0]["price"] == list(find(data["ways"][0]["kind"]).price)
    assert data["odds"]["possible"] == 0.04


# Patterns


def test_even_patterns_are_listed_and_uneven_ones_counted():
    even = [each.pattern for each in patterns() if each.word != "refused"]
    text = printed(patterns_sheet("a", patterns(), rate_share=0.8), 100)
    rows = re.findall(r"^ +([Fs-]{6}) ", text, re.MULTILINE)
    assert rows == [letters(pattern) for pattern in even]
    counts = [int(count) for count in re.findall(r"- (\d+): ", text)]
    assert sum(counts) == len(patterns()) - len(even)
    every = printed(patterns_sheet("a", patterns(), rate_share=0.8, every=True), 100)
    assert len(re.findall(r"^ +([Fs-]{6}) ", every, re.MULTILINE)) == len(patterns())


def test_the_lightest_sound_pattern_is_named_with_its_chance_to_slip():
    """Softer springs on this bike are doubtful (see the study's test), so the lightest that is sound is as fitted."""
    answer = squeezed(patterns_sheet("a", patterns(), rate_share=0.8, samples=512).answer)
    assert "the lightest that is sound is FFFFFF: 107 N, as fitted." in answer
    assert re.search(r"slip margin is 1\.30, and [1-5] % of the possible bikes slip\.", answer)
    marginal = [replace(each, word="marginal") if each.word == "sound" else each for each in patterns()]
    answer = squeezed(patterns_sheet("a", marginal, rate_share=0.8, samples=512).answer)
    assert re.search(
        r"none is sound; the lightest that is marginal is ssssss: 86 N, (19|20) % less than as fitted", answer
    )


def test_patterns_as_data():
    data = json.loads(json.dumps(patterns_to_json("a", patterns(), rate_share=0.8), allow_nan=False))
    assert len(data["patterns"]) == 91
    assert data["patterns"][0]["pattern"] == "FFFFFF"
    softer = next(row for row in data["patterns"] if row["pattern"] == "sFFsFF")
    assert softer["steps"] == ["springs-softer:rate_share=0.8,positions=1+4"]
    assert not softer["refused"]


# Plans


def test_a_plan_is_a_list_to_tick_off():
    plan = plan_of(80.0)
    sheet = plan_sheet(plan, read_demo())
    text = printed(sheet, 100)
    assert [part.heading for part in sheet.parts[2:]] == [
        f"Step {count}: {find(step.job.step.kind).title}" for count, step in enumerate(plan.steps, 1)
    ]
    assert text.count("Reading: ______ N") == len(plan.steps) + 1
    assert text.count("☐") == 2 + sum(len(step.checks) + 2 for step in plan.steps)
    # the finger point 82 mm, then 92 mm from the pivot, the hook at 100 mm; 1 kgf is 9.80665 N by definition
    assert "At 65.6 N (6.69 kg) or less at the hook, which is 80 N at the finger: stop" in squeezed(text)
    assert "At 73.6 N (7.51 kg) or less at the hook, which is 80 N at the finger: stop" in squeezed(text)
    assert "Stop at the first reading of 80 N or less at the finger, each step says" in squeezed(text)
    assert "Hook the scale 100 mm from the lever's pivot" in squeezed(text)


def test_the_pull_wanted_is_told_as_the_scale_shows_it():
    """75 N x 82/100 at the hook; in kilograms over 9.80665."""
    steps, target = (parse("cable-service"),), 75.0
    text = squeezed(printed(plan_sheet(plan_of(target, steps), read_demo()), 100))
    assert "Stop at the first reading of 61.5 N (6.27 kg) or less at the hook, which is 75 N at the finger" in text
    bike = read_demo()
    without = replace(
        bike, quantities={key: each for key, each in bike.quantities.items() if key != "lever.hook_radius_mm"}
    )
    text = squeezed(printed(plan_sheet(make_plan(without, steps, target_N=target), without), 100))
    assert "Stop at the first reading of 75 N (7.65 kg) or less" in text
    assert "Hook the scale at the finger point" in text
    assert "at the hook" not in text


def test_a_perch_shift_does_not_change_what_a_scale_on_the_lever_shows():
    text = squeezed(printed(plan_sheet(plan_of(steps=(parse("perch-shift:shift_mm=10"),)), read_demo()), 100))
    assert "Expected 1.00 times (" in text


def test_steps_past_the_pull_wanted_are_optional():
    plan = plan_of()
    pulls = [step.reading.pull_N for step in plan.steps]
    sheet = plan_sheet(plan_of(pulls[1] + 0.5), read_demo())
    assert "should be reached after step 2" in sheet.answer
    optional = [part.sentences[0].startswith("Only if") for part in sheet.parts[2:]]
    assert optional == [False, False, True]


@pytest.mark.parametrize(
    ("target", "words", "word"),
    [
        (10.0, "not expected even at the end", "not light enough"),
        (300.0, "already", "3 steps"),
        (None, "less.", "3 steps"),
    ],
)
def test_the_answer_says_whether_the_target_is_met(target, words, word):
    sheet = plan_sheet(plan_of(target), read_demo())
    assert words in sheet.answer
    assert sheet.word == word


def test_a_plan_that_ends_unsafe_says_so():
    steps = (parse("springs-softer:rate_share=0.5"),)
    sheet = plan_sheet(plan_of(steps=steps), read_demo())
    assert (sheet.word, sheet.tone) == ("do not ride this", "unsafe")
    assert "slips" in " ".join(sheet.parts[2].sentences)


def test_the_doubt_of_a_plan_s_pull_is_that_of_every_other_page():
    """One standard uncertainty; what a scale may show is a range."""
    bike = read_demo()
    sheet = plan_sheet(plan_of(), bike)
    assert (
        quantity_text("pull_N", *(each["pull_peak_N"] for each in (assess(bike).figures, assess(bike).u)))
        in sheet.answer
    )
    last = assess(bike, STEPS)
    assert quantity_text("pull_N", last.figures["pull_peak_N"], last.u["pull_peak_N"]) in sheet.answer
    text = squeezed(printed(sheet, 100))
    assert "two standard uncertainties" not in text
    assert re.search(r"Expected \d+ to \d+ N \(", text)


def test_a_plan_adds_up_and_says_whose_prices_they_are():
    typical = squeezed(printed(plan_sheet(plan_of(), read_demo()), 100))
    assert "Prices, hours and names are typical ones of the kind of change, a rough assumption" in typical
    jobs = [Job(step, (7.5, 7.5), 0.25, reversible=True, option=f"job {n}") for n, step in enumerate(STEPS)]
    text = squeezed(printed(plan_sheet(make_plan(read_demo(), jobs, catalogue="My shed"), read_demo()), 120))
    assert 'Prices, hours and names are those of "My shed"' in text
    assert "All of it 22.5 of money 0.75 h" in text
    assert "typical" not in text


def test_a_step_over_the_limits_is_told():
    held = Held(Limits(slips=0.05), draw_bikes(read_demo(), 256, 1))
    plan = make_plan(read_demo(), [parse("springs-softer:rate_share=0.7")], held=held)
    sheet = plan_sheet(plan, read_demo())
    assert sheet.tone == "unsafe"
    assert "A study would leave this setup out" in " ".join(sheet.parts[2].sentences)


def test_plans_as_data():
    data = json.loads(json.dumps(plan_to_json(plan_of(80.0)), allow_nan=False))
    assert [step["change"] for step in data["steps"]] == [
        "cable-service",
        "perch-shift:shift_mm=10",
        "springs-softer:rate_share=0.9",
    ]
    assert data["target_N"] == 80.0
    assert data["enough_after"] in (None, 1, 2, 3)
    assert data["steps"][0]["reading"]["hook_target_N"] == pytest.approx(80.0 * 82 / 100)
    assert {"pull_N", "tolerance_N", "share", "share_tolerance", "hook_N"} <= set(data["steps"][0]["reading"])


def test_a_step_that_is_not_for_the_pull_says_what_it_is_for():
    """Grippier plates leave the pull as it is: with the lever light already they count for the slip margin alone."""
    steps = tuple(map(parse, ("perch-shift:shift_mm=30", "plates:friction_share=1.25")))
    last = plan_sheet(plan_of(90.0, steps), read_demo()).parts[-1]
    assert last.sentences[0].startswith(f"Not for the pull, but for what it gives: {find('plates').gives}.")


def test_a_step_for_the_pull_waits_until_it_is_needed():
    steps = tuple(map(parse, ("perch-shift:shift_mm=30", "springs-softer:rate_share=0.95")))
    last = plan_sheet(plan_of(90.0, steps), read_demo()).parts[-1]
    assert last.sentences[0] == "Only if the pull is still above what is wanted."
