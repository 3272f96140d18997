"""The chance that something goes wrong is the same wherever it is told, in tables and sentences alike."""

from dataclasses import replace

import pytest

from clutchwright.changes import Step
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.limits import Limits
from clutchwright.usecases import (
    assess_bike,
    find_doubts,
    list_patterns,
    plan_changes,
    read_demo,
    study_bike,
)

SAMPLES = 1024


def doubtful_bike():
    """A bike that slips in some of the possible cases, with friction that was only assumed."""
    bike = read_demo()
    torque = bike.quantities["drive.engine_torque_Nm"]
    weak = {"drive.engine_torque_Nm": replace(torque, value=torque.value * 1.22)}
    return replace(bike, quantities=bike.quantities | weak)


@pytest.fixture(scope="module")
def found():
    return assess_bike(doubtful_bike(), samples=SAMPLES)


def test_study_plan_patterns_and_next_measurement_count_the_same(found):
    bike, chances = doubtful_bike(), found.sampled.probability
    assert 0.02 < chances["slips"] < 0.5
    options = Catalogue("one", (Option("turn", (Step("lever-turn"),), 0.0, 0.1, reversible=True),))
    result, _, _ = study_bike(bike, options, limits=Limits(1.0, 1.0, 1.0), samples=SAMPLES)
    assert result.today.probability == chances
    assert plan_changes(bike, [Step("lever-turn")], samples=SAMPLES).today == chances
    as_fitted = next(each for each in list_patterns(bike, 80.0, samples=SAMPLES) if not each.pattern.steps)
    assert as_fitted.probability == chances
    doubt = find_doubts(bike)
    by_key = {question.key: question.probability for question in doubt.measurements.questions}
    assert (by_key["slips"], by_key["does_not_release"]) == (chances["slips"], chances["does_not_release"])
    assert doubt.assessment.sampled.probability == chances


def test_the_sentence_tells_the_chance_that_was_counted(found):
    slips = found.sampled.probability["slips"]
    assert f"the chance that it slips then is about {slips:.0%}" in " ".join(found.verdict.reasons)
    first_order = " ".join(assess_bike(doubtful_bike()).verdict.reasons)
    assert f"about {slips:.0%}" not in first_order
