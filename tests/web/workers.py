"""What jobs of the tests do, in processes of their own."""

import os
import time
from pathlib import Path

from clutchwright.errors import InputError
from clutchwright.manybikes import Request
from clutchwright.study.limits import Limits
from clutchwright.web.studying import Studied, Task

BIKE, CATALOGUE = "six-spring-rack.toml", "catalogue.toml"


def task(bike: str, catalogue: str, seed: int = 1, hand: str | None = None) -> Task:
    return Task(BIKE, bike, Request(catalogue, (), Limits(), 85.0, hand, 1000, seed))


def at_once(task, progress):
    progress("counting", 1, 2)
    return Studied(f'{{"seed": {task.request.seed}}}', "{}")


def slow(task, progress):
    progress("counting sheep", 3, 40)
    time.sleep(60)
    return at_once(task, progress)


def slow_where_a_file_is(task, progress):
    """Slow while the file that the task names as its hand is there."""
    return slow(task, progress) if Path(task.request.hand).exists() else at_once(task, progress)


def refusing(task, progress):
    raise InputError("catalogue", None, "says so")


def dying(task, progress):
    os._exit(7)
