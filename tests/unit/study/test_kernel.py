import numpy as np
import pytest

from clutchwright.study import compiled, kernel
from clutchwright.study.components import _glance
from clutchwright.study.kernel import judge_plainly
from clutchwright.study.task import Levers, Lines, Task


def random_task(seed, *, arms=3, lines=2, levers=40, samples=700, release=30):
    """Numbers of the size of a clutch's, some arms never getting there, some levers all but out of draw."""
    rng = np.random.default_rng(seed)
    move, pull = rng.normal(0.010, 0.0006, (arms, samples)), rng.normal(150.0, 20.0, (arms, samples))
    move[0, :5] = np.inf
    draw = rng.normal(0.013, 3e-4, (levers + 5, samples)) * rng.uniform(0.85, 1.35, (levers + 5, 1))
    row = rng.permutation(levers + 5)[:levers]
    row = row[np.argsort(draw[row, 0])]
    light = rng.uniform(0.2, 0.3, levers)
    glance = _glance(draw, row, release)
    by_lever = Levers(
        draw, row, draw[row, 0], light, light * 1.02, rng.uniform(0.0, 5.0, levers), rng.integers(0, 3, levers), *glance
    )
    drawn = np.sort(rng.uniform(0.0, 0.02, (arms * lines, 12)), axis=1)
    drawn[-1, -4:] = np.inf
    tension = np.where(np.isfinite(drawn), rng.uniform(100.0, 300.0, drawn.shape), 0.0)
    by_line = Lines(rng.normal(1.1, 0.01, (lines, samples)), rng.uniform(0, 8e-6, (lines, samples)), drawn, tension)
    return Task(move, pull, by_line, by_lever, rng.uniform(40.0, 90.0, (arms * lines, 3)), release)


def same(one, other):
    for ours, theirs in zip(one[:4], other[:4], strict=True):
        np.testing.assert_array_equal(ours, theirs)


@pytest.mark.parametrize("seed", range(16))
def test_the_compiled_loop_keeps_what_plain_numpy_keeps(seed):
    task = random_task(seed)
    plain, fast = judge_plainly(task), compiled.judge(task)
    same(plain, fast)
    assert 0 < len(plain.pair) < len(task.levers.row) * len(task.lines.drawn)
    assert plain.beaten + plain.stuck == fast.beaten + fast.stuck
    assert fast.stuck >= plain.stuck


@pytest.mark.parametrize("seed", range(3))
def test_plain_numpy_counts_bike_by_bike(seed):
    task = random_task(seed, arms=2, lines=1, levers=6, samples=50, release=50)
    task = task._replace(ceiling=np.full_like(task.ceiling, np.inf))
    judged = judge_plainly(task)
    assert len(judged.pair) == 12
    ratio, give = task.lines.ratio[0], task.lines.give[0]
    for pair, lever, failed in zip(judged.pair, judged.lever, judged.failed, strict=True):
        draw = task.levers.draw[task.levers.row[lever]]
        stuck = 0
        for sample in range(50):
            stuck += ratio[sample] * (task.move[pair, sample] + give[sample] * task.pull[pair, sample]) > draw[sample]
        assert failed == stuck


def test_the_loop_means_the_same_when_it_is_not_compiled(monkeypatch):
    task = random_task(11, arms=2, levers=10, samples=300)
    expected = compiled.judge(task)
    for name in ("count_above", "needed", "least_share", "judge_pair", "judge_pairs"):
        monkeypatch.setattr(compiled, name, getattr(compiled, name).py_func)
    same(compiled.judge(task), expected)


def test_a_glance_refuses_no_lever_where_too_few_bikes_may_be_looked_at():
    draw = np.full((2, 10), 0.01)
    one, widest = _glance(draw, np.array([1, 0]), 10)
    assert len(one) == 10
    assert np.all(np.isinf(widest))


def test_a_glance_refuses_no_lever_where_the_first_draws_nothing():
    draw = np.full((2, 10), 0.01)
    draw[1, 3] = -0.001
    assert np.all(np.isinf(_glance(draw, np.array([1, 0]), 0)[1]))


def test_without_the_compiler_plain_numpy_does_it(monkeypatch):
    monkeypatch.setattr(kernel, "SMALL", 0)
    monkeypatch.setitem(__import__("sys").modules, "clutchwright.study.compiled", None)
    task = random_task(3)
    same(kernel.judge(task), judge_plainly(task))
