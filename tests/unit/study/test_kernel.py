import numpy as np
import pytest

from clutchwright.study import compiled, kernel
from clutchwright.study.components import _glance
from clutchwright.study.kernel import judge_plainly
from clutchwright.study.task import Levers, Lines, Task


def random_task(seed, *, arms=3, lines=2, levers=40, samples=700, both=True, release=30, touch=30):
    """Numbers of the size of a clutch's, some arms never getting there, some levers all but out of draw."""
    rng = np.random.default_rng(seed)
    move, pull = rng.normal(0.010, 0.0006, (arms, 2, samples)), rng.normal(150.0, 20.0, (arms, 2, samples))
    move[:, 1] += 0.0055
    move[0, 0, :5], move[0, 1, 5:9] = np.inf, -np.inf
    if not both:
        move, pull = move[:, :1], pull[:, :1]
    draw = rng.normal(0.013, 3e-4, (levers + 5, samples)) * rng.uniform(0.85, 1.35, (levers + 5, 1))
    row = rng.permutation(levers + 5)[:levers]
    reach = np.sort(draw[row, 0])
    row = row[np.argsort(draw[row, 0])]
    light = rng.uniform(0.2, 0.3, levers)
    by_lever = Levers(draw, row, reach, light, light * 1.02, rng.integers(0, 3, levers), *_glance(draw, row, release))
    drawn = np.sort(rng.uniform(0.0, 0.02, (arms * lines, 12)), axis=1)
    drawn[-1, -4:] = np.inf
    tension = np.where(np.isfinite(drawn), rng.uniform(100.0, 300.0, drawn.shape), 0.0)
    by_line = Lines(rng.normal(1.1, 0.01, (lines, samples)), rng.uniform(0, 8e-6, (lines, samples)), drawn, tension)
    return Task(move, pull, by_line, by_lever, rng.uniform(40.0, 90.0, (arms * lines, 3)), release, touch)


def same(one, other):
    for ours, theirs in zip(one[:4], other[:4], strict=True):
        np.testing.assert_array_equal(ours, theirs)


@pytest.mark.parametrize("both", [True, False])
@pytest.mark.parametrize("seed", range(8))
def test_the_compiled_loop_keeps_what_plain_numpy_keeps(seed, both):
    task = random_task(seed, both=both)
    plain, fast = judge_plainly(task), compiled.judge(task)
    same(plain, fast)
    assert 0 < len(plain.pair) < len(task.levers.row) * len(task.lines.drawn)
    assert sum(plain[4:]) == sum(fast[4:])
    assert fast.stuck >= plain.stuck
    assert plain.touching == fast.touching


@pytest.mark.parametrize("seed", range(3))
def test_plain_numpy_counts_bike_by_bike(seed):
    task = random_task(seed, arms=2, lines=1, levers=6, samples=50, release=50, touch=50)
    task = task._replace(ceiling=np.full_like(task.ceiling, np.inf))
    judged = judge_plainly(task)
    for pair, lever, failed in zip(judged.pair, judged.lever, judged.failed, strict=True):
        stuck = touching = 0
        for sample in range(50):
            needed, closed = (
                task.lines.ratio[0, sample]
                * (task.move[pair, k, sample] + task.lines.give[0, sample] * task.pull[pair, k, sample])
                for k in (0, 1)
            )
            draw = task.levers.draw[task.levers.row[lever], sample]
            stuck += needed > draw
            touching += closed < draw
        assert failed.tolist() == [stuck, touching]


def test_the_loop_means_the_same_when_it_is_not_compiled(monkeypatch):
    task = random_task(11, arms=2, levers=10, samples=300)
    expected = compiled.judge(task)
    for name in ("count_above", "least_share", "judge_pair", "judge_pairs"):
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
