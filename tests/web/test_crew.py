"""Processes that answer sliders: they say what the server's own process says, and their end is no end of answers."""

import multiprocessing
from concurrent.futures import ThreadPoolExecutor

import pytest

from clutchwright import usecases
from clutchwright.errors import InputError
from clutchwright.web.asking import Asked
from clutchwright.web.crew import Crew
from clutchwright.web.live import live_json
from clutchwright.workspace import File

BIKE = File("bike.toml", usecases.demo_text(usecases.DEMOS[0]).encode())


def asked(length: float) -> Asked:
    return Asked(BIKE, (f"arm-length:length_mm={length:g}",))


@pytest.fixture
def crew():
    made = Crew(2)
    yield made
    made.stop()


def test_each_gets_its_own_answer_from_other_processes(crew):
    others = set(multiprocessing.active_children())
    crew.start()
    wishes = [asked(length) for length in range(33, 41)]
    with ThreadPoolExecutor(8) as phones:
        assert list(phones.map(crew.live, wishes)) == [live_json(each) for each in wishes]
    assert len(set(multiprocessing.active_children()) - others) == 2


def test_when_they_are_killed_the_servers_own_process_answers(crew):
    crew.start()
    for worker in multiprocessing.active_children():
        worker.kill()
        worker.join()
    assert crew.live(asked(36)) == live_json(asked(36))
    assert crew.live(asked(37)) == live_json(asked(37))


def test_a_wrong_wish_is_refused_in_the_same_words(crew):
    crew.start()
    wrong = Asked(BIKE, ("arm-length:length_mm=1e9",))
    with pytest.raises(InputError) as here:
        live_json(wrong)
    with pytest.raises(InputError) as there:
        crew.live(wrong)
    assert str(there.value) == str(here.value)


def test_before_they_are_ready_and_with_one_core_the_server_answers():
    before = set(multiprocessing.active_children())  # those of a crew that was just stopped may still be ending
    alone = Crew(1)
    alone.start()
    assert alone.live(asked(35)) == live_json(asked(35))
    assert set(multiprocessing.active_children()) <= before
