"""Spring patterns: how many, which are even, and what they weigh, from counting and proportion."""

from dataclasses import replace

import pytest

from clutchwright.bikefile import assemble
from clutchwright.changes import apply
from clutchwright.errors import Refusal
from clutchwright.study.assessment import assess
from clutchwright.study.patterns import EMPTY, SOFTER, STANDARD, judge_patterns, spring_patterns
from clutchwright.usecases import draw_bikes, read_demo
from tests.unit.changes.bikes import DIAPHRAGM, plain_bike, six_springs

# Three kinds on 3 to 8 bosses up to rotation and reflection (OEIS A027671, from memory), less the one without a spring.
COUNTS = {3: 10, 4: 21, 5: 39, 6: 92, 7: 198, 8: 498}
SOFT = 0.8


def found(bike=None):
    return spring_patterns(bike or plain_bike(), rate_share=SOFT)


@pytest.mark.parametrize("bosses", COUNTS)
def test_every_pattern_is_found_once(bosses):
    patterns = found(plain_bike(springs=six_springs(bosses=bosses)))
    assert len(patterns) == len({pattern.kinds for pattern in patterns}) == COUNTS[bosses] - 1


def test_pull_and_clamp_go_with_the_sum_of_the_rates():
    """No friction, no stretch, equal preload: each spring counts for its rate. Clamp of six is 1350 N."""
    patterns = found()
    whole = next(pattern for pattern in patterns if set(pattern.kinds) == {STANDARD})
    for pattern in patterns:
        share = sum((1.0, SOFT, 0.0)[kind] for kind in pattern.kinds) / 6.0
        assert pattern.figures["clamp_new_N"] == pytest.approx(1350.0 * share)
        assert pattern.figures["pull_peak_N"] == pytest.approx(whole.figures["pull_peak_N"] * share)
        assert pattern.figures["slip_margin_hot"] == pytest.approx(whole.figures["slip_margin_hot"] * share)


def test_the_even_ones_come_first_from_heavy_to_light():
    patterns = found()
    fine = [pattern for pattern in patterns if not pattern.refusal]
    assert patterns[: len(fine)] == tuple(fine)
    assert fine[0].kinds == (STANDARD,) * 6
    pulls = [pattern.figures["pull_peak_N"] for pattern in fine]
    assert pulls == sorted(pulls, reverse=True)
    # One pair and two pairs of softer springs opposite each other, every other one, all; the same with one pair left
    # out: what has a centre of symmetry or three of them.
    assert {pattern.kinds for pattern in fine} == {
        (STANDARD,) * 6,
        (SOFTER, STANDARD, STANDARD) * 2,
        (SOFTER, STANDARD) * 3,
        (SOFTER, SOFTER, STANDARD) * 2,
        (SOFTER,) * 6,
        (EMPTY, STANDARD, STANDARD) * 2,
        (EMPTY, SOFTER, STANDARD) * 2,
        (EMPTY, SOFTER, SOFTER) * 2,
    }


def test_patterns_of_the_same_springs_are_ranked_by_evenness():
    pairs = [pattern for pattern in found() if pattern.kinds.count(EMPTY) == 2 and SOFTER not in pattern.kinds]
    assert [pattern.kinds.index(EMPTY, 1) for pattern in pairs] == [3, 2, 1]
    assert [pattern.unbalance for pattern in pairs] == pytest.approx([0.0, 1.0, 3**0.5], abs=1e-12)
    assert pairs[0].softness == pytest.approx(3.0)
    assert all(pattern.refusal for pattern in pairs[1:])


def test_the_steps_make_the_pattern():
    for pattern in found():
        if pattern.refusal:
            continue
        bike = apply(plain_bike(), pattern.steps)
        rates = {spring.position: spring.rate / 25e3 for spring in bike.springs.springs}
        assert rates == pytest.approx(
            {place: (1.0, SOFT)[kind] for place, kind in enumerate(pattern.kinds) if kind != EMPTY}
        )


def test_unbalance_is_held_against_the_grade():
    """One of six springs out: 31 g on 42 mm; G 6.3 allows 9549 G m/n in g mm for 3.1 kg at 7200/2.9 per minute."""
    one_out = next(p for p in found(assemble(read_demo())) if p.kinds == (EMPTY, *(STANDARD,) * 5))
    allowed = 9549 * 6.3 * 3.1 / (7200 / 2.9)
    assert one_out.unbalance_share == pytest.approx(31 * 42 / allowed, rel=1e-4)
    assert all(pattern.unbalance_share is None for pattern in found())


@pytest.mark.parametrize("demo", ["six-spring-rack", "four-spring-ramp"])
def test_word_and_chance_are_those_of_an_assessment(demo):
    """Identity: the same bike with the same changes, the same possible bikes."""
    bike, sample = read_demo(demo), draw_bikes(read_demo(demo), 256, 3)
    judged = judge_patterns(bike, rate_share=SOFT, sample=sample)
    even = [each for each in judged if each.word != "refused"]
    assert [each.pattern for each in even] == [each.pattern for each in judged if not each.pattern.refusal]
    for each in even:
        assessed = assess(bike, each.pattern.steps, sample)
        assert each.word == assessed.verdict.word
        assert each.probability == assessed.sampled.probability


def test_a_comfortable_margin_that_is_doubtful_is_marginal():
    """Clamp 1225 of 1312 N: slip margin 1.30 x 0.933 = 1.21, comfortable (1.1); with its u of 0.16 the chance to slip
    is that of 1.3 standard deviations, 9 %, more than the 5 % that are doubtful.
    """
    judged = judge_patterns(read_demo(), rate_share=SOFT, sample=draw_bikes(read_demo(), 1024, 1))
    pair = next(each for each in judged if each.pattern.kinds == (SOFTER, STANDARD, STANDARD) * 2)
    assert pair.pattern.figures["slip_margin_hot"] > 1.1
    assert pair.word == "marginal"
    assert pair.probability["slips"] == pytest.approx(0.09, abs=0.02)


def test_without_possible_bikes_there_are_no_chances():
    judged = judge_patterns(read_demo(), rate_share=SOFT)
    assert {each.probability for each in judged} == {None}
    assert judged[0].word == "sound"


@pytest.mark.parametrize(
    ("springs", "message"),
    [
        (DIAPHRAGM, "diaphragm spring"),
        (replace(six_springs(), springs=six_springs().springs[1:]), "left out already"),
        (replace(six_springs(), springs=(*six_springs().springs[:5], six_springs(20e3).springs[5])), "differ"),
        (six_springs(bosses=9), "9 springs; patterns are counted for up to 8"),
    ],
    ids=["diaphragm", "one out", "one softer", "nine"],
)
def test_what_has_no_patterns_is_refused(springs, message):
    with pytest.raises(Refusal, match=message):
        found(plain_bike(springs=springs))
