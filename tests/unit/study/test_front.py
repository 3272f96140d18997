import numpy as np
import pytest

from clutchwright.study.front import best, hypervolume


def beaten(point, points):
    return any(all(a <= b for a, b in zip(p, point, strict=True)) and tuple(p) != tuple(point) for p in points)


@pytest.mark.parametrize("objectives", [1, 2, 3, 4])
def test_the_best_are_those_that_none_beats(objectives):
    rng = np.random.default_rng(objectives)
    points = rng.integers(0, 6, (200, objectives)).astype(float)
    assert best(points).tolist() == [not beaten(point, points.tolist()) for point in points.tolist()]


def test_equal_points_are_best_together():
    assert best(np.array([[1.0, 2.0], [1.0, 2.0], [2.0, 2.0]])).tolist() == [True, True, False]


def test_no_points_have_no_best():
    assert best(np.empty((0, 3))).tolist() == []


@pytest.mark.parametrize("objectives", [1, 2, 3, 4])
def test_the_room_is_that_of_the_cells_counted_one_by_one(objectives):
    rng = np.random.default_rng(objectives)
    points = rng.integers(0, 5, (6, objectives))
    cells = np.indices((5,) * objectives).reshape(objectives, -1).T
    covered = [any(np.all(point <= cell) for point in points) for cell in cells]
    assert hypervolume(points.astype(float), np.full(objectives, 5.0)) == sum(covered)


def test_points_beyond_the_reference_do_not_count():
    assert hypervolume(np.array([[1.0, 5.0], [2.0, 3.0]]), np.array([4.0, 4.0])) == 2.0
    assert hypervolume(np.array([[4.0, 1.0]]), np.array([4.0, 4.0])) == 0.0
