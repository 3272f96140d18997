"""Many things as one: their numbers one below the other, their form as it was."""

from clutchwright.study.stacking import stacked


def test_each_place_of_a_tuple_holds_its_numbers_one_below_the_other():
    first, second = stacked([(1.0, 2.0), (3.0, 4.0), (5.0, 6.0)])
    assert first.tolist() == [[1.0], [3.0], [5.0]]
    assert second.tolist() == [[2.0], [4.0], [6.0]]
