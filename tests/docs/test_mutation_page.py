"""The page of how good the tests are says what the tables beside it say; the sample is drawn as it says."""

from collections import Counter

import pytest
from scipy.stats import beta

from docs import mutation_page, mutation_run
from docs.mutation_run import COUNTS, LEFT, Mutant, drawn, read, without_decorators

ROWS, LEFT_OVER = read(COUNTS), read(LEFT)


def test_the_page_is_fresh():
    assert mutation_page.PAGE.read_text("utf-8") == mutation_page.page(ROWS, LEFT_OVER)


def test_both_tables_tell_of_the_same_survivors():
    left = Counter(row["module"] for row in LEFT_OVER)
    assert {row["module"]: int(row["tested"]) - int(row["killed"]) for row in ROWS if int(row["tested"])} == {
        row["module"]: left[row["module"]] for row in ROWS if int(row["tested"])
    }
    assert {row["why"] for row in LEFT_OVER} <= mutation_page.KINDS.keys()


def test_the_interval_is_exact():
    low, high = beta.ppf(0.025, 45, 6), beta.ppf(0.975, 46, 5)
    assert mutation_page.span(45, 50) == f"90.0%, {low:.1%} to {high:.1%}"


def test_a_property_is_taken_apart_and_stays_one():
    source = (
        "class A:\n    @property\n    def twice(self):\n        return 2\n\n    def plain(self):\n        return 1\n"
    )
    namespace = {}
    exec(without_decorators(source), namespace)  # noqa: S102 made here, three lines up
    assert namespace["A"]().twice == namespace["A"]().get_twice() == 2


def mutant(module: str, number: int, words: bool = False) -> Mutant:
    return Mutant(module, f"{module}.{number}", "f", "", words, None)


def test_each_module_has_its_share_of_the_sample_and_wording_none():
    made = [mutant("study/a", n) for n in range(30)] + [mutant("study/b", n) for n in range(10)]
    made += [mutant("study/b", n, words=True) for n in range(50, 60)] + [mutant("hand/c", n) for n in range(9)]
    sample = drawn(made, "study", 20)
    assert Counter(key.partition(".")[0] for key in sample) == {"study/a": 15, "study/b": 5}
    assert len(set(sample)) == 20
    assert sample == drawn(made, "study", 20)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("f('a b')", "f('XXa bXX')", True),
        ("f('key')", "f('KEY')", False),
        ("f('a b', 1)", "f('a b', 2)", False),
        ("f('a b')", "f(None)", False),
    ],
)
def test_wording_is_a_changed_text_of_several_words(before, after, words):
    assert mutation_run._only_words(before, after) is words
