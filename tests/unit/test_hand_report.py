"""Terminal, page, figures and JSON say what was found about a hand, and what is assumed."""

import io
import json
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from rich.console import Console

from clutchwright.changes import parse
from clutchwright.hand.day import MEDICAL_CAUTION
from clutchwright.hand.riding import parse_riding
from clutchwright.picture import NARROW, WIDE, hand_effort, lever_trade, overview, remaining_capacity, render
from clutchwright.report.data import to_json
from clutchwright.report.hand import effort_text, hand_text, hours_text
from clutchwright.report.page import page
from clutchwright.report.position import advice, gains, position_data, print_position, shortfall
from clutchwright.report.text import to_console
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import HandAssessment
from clutchwright.study.lever_position import find_position
from clutchwright.usecases import DEMO_HANDS, assess_bike, read_demo, read_demo_hand, rider

SHIFT = parse("perch-shift:shift_mm=15")
KEYS = ("capacity_N", "effort_share", "effort_peak", "effort_hold", "reach", "hours_p50", "hours_p10", "target_pull_N")


def found(name: str = "not-measured", *, riding: str = "town", steps=(), samples=0, hours=4.0) -> Assessment:
    who = rider(read_demo_hand(name), parse_riding(riding), hours=hours, samples=samples)
    return assess_bike(read_demo(), steps, samples=samples, rider=who)


PLAIN = found()
CHANGED = found("large-hand", steps=(SHIFT,))


def printed(assessment: Assessment, width: int = 80) -> str:
    out = io.StringIO()
    to_console(assessment, Console(file=out, width=width), every=True)
    return out.getvalue()


def words(chart) -> list[str]:
    root = ElementTree.fromstring(render(chart, "svg"))  # noqa: S314  # our own output
    return [element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text")]


def with_seated(assessment: Assessment, **fields: object) -> HandAssessment:
    return replace(assessment.hand, seated=replace(assessment.hand.seated, **fields))


def test_the_json_has_the_keys_and_its_curves_run_with_the_stroke():
    data = json.loads(json.dumps(to_json(CHANGED), allow_nan=False))
    for part in (data, data["before"]):
        assert set(KEYS) <= set(part["hand"])
        assert len(part["hand"]["capacity_N"]) == len(part["hand"]["effort_share"]) == len(part["curve"]["span_mm"])
        shares = [pull / able for pull, able in zip(part["curve"]["pull_N"], part["hand"]["capacity_N"], strict=True)]
        assert part["hand"]["effort_share"] == pytest.approx(shares)
    assert data["hand"]["caution"] == MEDICAL_CAUTION
    assert data["hand"]["standing"]["wrist_extension_deg"] == pytest.approx(37.0)
    assert data["hand"]["effort_peak"] < data["before"]["hand"]["effort_peak"]


def test_without_a_hand_no_output_speaks_of_one():
    plain = assess_bike(read_demo())
    assert "hand" not in to_json(plain)
    assert hand_text(plain) is None
    assert "The hand:" not in printed(plain)
    assert 'id="hand"' not in page(plain)
    assert "The pull against the hand" not in words(overview(plain))


@pytest.mark.parametrize("name", DEMO_HANDS)
@pytest.mark.parametrize("width", [80, 130])
def test_the_terminal_says_share_hours_target_and_caution(name, width):
    assessment = found(name)
    text = " ".join(printed(assessment, width).split())
    seated = assessment.hand.seated
    assert f"The hand: {assessment.hand.told.name}" in text
    worst = max(assessment.hand.counting, key=lambda each: each.effort_peak)
    assert f"takes {effort_text(worst)} of what this hand can do".replace("\N{NO-BREAK SPACE}", " ") in text
    assert "peak pull should be at most" in text
    assert MEDICAL_CAUTION in text
    assert "is an assumption" in text
    assert hours_text(seated.hours_p50).replace("\N{NO-BREAK SPACE}", " ") in text


def test_the_page_has_both_figures_the_tables_and_the_caution():
    html = page(CHANGED)
    assert html.count(">The pull against the hand<") == 2
    for text in ("In this hand: Large hand", "Second opinions", "What this hand can do is made of", MEDICAL_CAUTION):
        assert text in html


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("assessment", [PLAIN, CHANGED], ids=["plain", "changed"])
def test_the_figures_name_what_they_show(assessment, width):
    effort, left = words(hand_effort(assessment, width=width)), words(remaining_capacity(assessment, width=width))
    assert {"the hand can", "pull", "return", "lasts 4 h"} <= set(effort)
    peak = effort_text(assessment.hand.seated).replace("\N{NO-BREAK SPACE}", " ")
    assert f"peak {peak} of what this hand can do" in " ".join(effort)
    assert {"left", "holding takes"} <= set(left)
    assert ("pull before" in effort) == (assessment.before is not None)
    assert ("left, before" in left) == (assessment.before is not None)


def test_all_figures_in_one_hold_those_of_the_hand():
    assert {"The pull against the hand", "Strength that the ride leaves, %"} <= set(words(overview(PLAIN)))


@pytest.mark.parametrize(
    ("hours", "text"), [(8.0, "8 h or more"), (7.96, "8.0 h"), (2.5, "2.5 h"), (0.05, "3 min"), (0.001, "no time")]
)
def test_hours_in_words(hours, text):
    assert hours_text(hours).replace("\N{NO-BREAK SPACE}", " ") == text


def test_a_pull_beyond_the_hand_is_called_so():
    hard = replace(PLAIN, hand=with_seated(PLAIN, effort_peak=1.2))
    says = "120\N{NO-BREAK SPACE}% of what this hand can do in the saddle, all four fingers: more than it has."
    assert says in hand_text(hard).answer


def test_where_the_lever_cannot_be_pulled_no_opinion_says_that_it_can_be_held():
    beyond = found("small-hand")  # its peak is 107 %, holding at the stop 46 %
    assert beyond.hand.seated.effort_peak > 1.0 > beyond.hand.seated.effort_hold
    text = hand_text(beyond)
    assert "once in, holding would take 46\N{NO-BREAK SPACE}%, with friction's help" in text.points[0]
    assert [row.cells[1] for row in text.opinions.rows[:3]] == ["cannot be pulled"] * 3
    data = json.loads(json.dumps(to_json(beyond), allow_nan=False))["hand"]
    assert data["holding_time_s"] is data["remaining_capacity"] is data["mean_effort_over_limit"] is None
    assert data["ride"] == {"hours": [], "remaining": []}
    assert "there is nothing to hold" in " ".join(words(remaining_capacity(beyond)))


def test_a_change_that_brings_the_pull_within_the_hand_has_an_after_without_a_before():
    eased = found("small-hand", steps=(SHIFT,))
    assert eased.before.hand.seated.effort_peak > 1.0 > eased.hand.seated.effort_peak
    row = hand_text(eased).opinions.rows[0]
    assert row.cells[1] == "cannot be pulled"
    assert row.cells[2].endswith("%")
    assert "left, before" not in words(remaining_capacity(eased))


@pytest.mark.parametrize(
    ("riding", "where"),
    [("town", "in the saddle"), ("highway", "in the saddle"), ("trail", "standing on the footrests")],
)
def test_the_posture_is_the_one_of_the_riding_and_named(riding, where):
    """Standing costs the small hand more, its wrist being bent by 45 degrees; a town is ridden seated."""
    text = hand_text(found("small-hand", riding=riding))
    assert f"of what this hand can do {where}, " in text.answer
    aside = [point for point in text.points if "counts in the saddle alone" in point]
    assert bool(aside) == (where == "in the saddle")


def test_what_is_assumed_is_said_in_words_with_what_it_is_taken_for():
    points = " ".join(hand_text(found("small-hand")).points).replace("\N{NO-BREAK SPACE}", " ")
    assert "condition of the hand (none)" in points
    assert "comfortable reach" in points
    assert "seen from above (5.0 ± 5.0 °)" in points
    for key in found("small-hand").hand.assumed:
        assert key == "reach" or key not in points


def test_where_no_pull_is_light_enough_it_says_so():
    none = replace(PLAIN, hand=with_seated(PLAIN, target_pull_N=0.0, target_pull_p10_N=0.0))
    assert hand_text(none).answer.endswith("none is light enough for 4\N{NO-BREAK SPACE}h.")
    some = replace(PLAIN, hand=with_seated(PLAIN, target_pull_p10_N=0.0))
    assert "nine in ten such hands." not in hand_text(some).answer


def test_reach_and_fingers_are_told_in_words():
    two = found("small-hand").hand
    assert "index and middle finger" in hand_text(found("small-hand")).answer
    near = replace(two, reach=replace(two.reach, after_release_mm=-6.0, to_rest_mm=-3.0))
    points = " ".join(hand_text(replace(PLAIN, hand=near)).points)
    assert "is beyond the comfortable reach" in points
    assert "between clean release and stop there are 9\N{NO-BREAK SPACE}mm" in points
    never = replace(two, reach=replace(two.reach, to_release_mm=float("nan"), after_release_mm=float("nan")))
    assert "It never gets to a clean release." in hand_text(replace(PLAIN, hand=never)).points


def test_assumed_riding_is_called_assumed_and_a_counted_one_is_not():
    assert "Nobody counted the pulls" in " ".join(hand_text(found(riding="trail")).points)
    own = found(riding="own:pulls_per_hour=60,hold_s=2")
    assert "Nobody counted" not in " ".join(hand_text(own).points)
    assert "riding as you counted it" in hand_text(own).answer


def test_samples_are_counted_and_told_as_a_share_where_they_are_many():
    few, many = (" ".join(hand_text(found(samples=size)).points) for size in (64, 512))
    assert re.search(r"Of 64 possible hands and bikes \(few samples\), \d+ tire before", few)
    assert re.search(r"Of 512 possible hands and bikes, \d+ \([^)]*%\) tire before", many)


POSITION = find_position(read_demo(), rider(read_demo_hand("small-hand")))


def test_the_position_is_told_with_its_gain_its_limits_and_how_to_look_at_it():
    out = io.StringIO()
    print_position(POSITION, Console(file=out, width=200))
    text = " ".join(out.getvalue().split())
    assert f"Move the perch {POSITION.shift_mm:.0f} mm inboard" in text
    assert f"rest span of {POSITION.rest_span_mm:.1f} mm; turn the lever down by 10°." in text
    assert " ".join(f"--with {step}" for step in POSITION.steps) in text
    assert "would no longer reach" in text
    assert MEDICAL_CAUTION in text


def test_the_position_as_data_is_strict_json():
    data = json.loads(json.dumps(position_data(POSITION), allow_nan=False))
    assert data["steps"] == [str(step) for step in POSITION.steps]
    assert len(data["trade"]["shift_mm"]) == len(data["trade"]["effort_least"])
    assert data["assessment"]["hand"]["effort_peak"] < data["assessment"]["before"]["hand"]["effort_peak"]


@pytest.mark.parametrize(
    ("hand", "says"),
    [
        ("sore-thumb", "a lever that still releases is beyond its reach. The nearest:"),
        ("small-hand", "it is not light enough for 4 h of town riding. Best:"),
    ],
)
def test_where_no_place_suits_that_comes_first(hand, says):
    best = find_position(read_demo(), rider(read_demo_hand(hand)))
    out = io.StringIO()
    print_position(best, Console(file=out, width=200))
    _, first, second, *_ = out.getvalue().splitlines()
    assert first.startswith("No place suits this hand: wherever it stands, ")
    assert says in first
    assert second.strip() == advice(best).replace("\N{NO-BREAK SPACE}", " ")
    assert position_data(best)["shortfall"] == shortfall(best)


def test_where_the_least_pull_is_more_than_the_hand_has_that_comes_first():
    """Reach aside, the sore thumb's best place takes 112 %."""
    best = find_position(read_demo(), rider(read_demo_hand("sore-thumb")))
    assert best.assessment.hand.seated.effort_peak > 1.0
    assert "the pull is more than it has in the saddle. The least:" in shortfall(replace(best, limits=("margin",)))


def test_where_a_place_suits_nothing_comes_before_it():
    assert shortfall(find_position(read_demo(), rider(read_demo_hand("large-hand")))) == ""


def test_a_lever_that_stands_well_is_left():
    nothing = replace(POSITION, steps=(), assessment=found("small-hand"))
    assert advice(nothing).startswith("Leave the lever where it is")
    assert gains(replace(POSITION, turn_deg=None))[-1].startswith("Its angle is left")


@pytest.mark.parametrize("width", [WIDE, NARROW])
def test_the_trade_names_its_lines(width):
    assert {"screw left", "screw to limit", "no margin to release", "end of reach", "now", "best"} <= set(
        words(lever_trade(POSITION, width=width))
    )


@pytest.mark.parametrize("steps", [(), (parse("lever-turn:level_angle_deg=30"),)])
def test_a_lever_that_stays_in_its_place_has_one_name(steps):
    still = replace(POSITION, shift_mm=0.0, effort_peak=POSITION.trade.effort_screw_left[0], steps=steps)
    named = words(lever_trade(still))
    assert "now and best" in named
    assert "now" not in named


def test_the_trade_of_a_perch_that_must_stay_is_drawn_too():
    bike = read_demo("four-spring-ramp")
    assert "best" in words(lever_trade(find_position(bike, rider(read_demo_hand("sore-thumb")))))


def test_the_peak_effort_has_the_same_digits_in_sentence_table_and_picture():
    """Far beyond what the hand can do the table rounds to tens, as its uncertainty asks (JCGM 100:2008, 7.2.6)."""
    weak = found("sore-thumb")
    text = hand_text(weak)
    said = re.search(r"takes (\d+)\xa0%", text.answer)[1]
    cell = next(row.cells[-1] for row in text.effort.rows if row.cells[0] == "Peak effort")
    assert cell.startswith(f"{said}\xa0±")
    assert any(f"peak {said} % of what" in word for word in words(hand_effort(weak)))
