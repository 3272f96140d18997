"""One study, as a job: what it is asked, and what the process that does it gives back."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from clutchwright import bikefile, usecases
from clutchwright.manybikes import Request
from clutchwright.report.setups import setups_to_json
from clutchwright.report.study import study_to_json
from clutchwright.study.limits import Budget, Limits
from clutchwright.study.progress import Progress
from clutchwright.study.target import require_target


@dataclass(frozen=True, slots=True)
class Task:
    """What a study is made from.

    Parameters
    ----------
    file : str
        Name of the bike file.
    bike : str
        Its text.
    request : Request
        What is asked.
    """

    file: str
    bike: str
    request: Request

    @property
    def id(self) -> str:
        """The same for the same question about the same bike, and for no other."""
        return self.request.fingerprint(self.bike)[:32]

    def require_sound(self) -> None:
        """Raise `InputError` where bike, catalogue, hand, target or the number of possible bikes cannot be used."""
        bikefile.loads(self.bike, self.file)
        self.request.parsed_catalogue()
        self.request.parsed_hand()
        require_target(self.request.target_N)
        self.request.limits.require_samples(self.request.samples)

    def to_json(self) -> dict[str, Any]:
        """As data."""
        return {"file": self.file, "bike": self.bike, "request": asdict(self.request)}

    @classmethod
    def from_json(cls, found: Mapping[str, Any]) -> Task:
        """From data; raises `KeyError`, `TypeError` or `InputError` for what is no task."""
        asked = dict(found["request"])
        limits, budget = Limits(**asked.pop("limits")), Budget(**asked.pop("budget", {}))
        given: dict[str, Any] = {
            key: tuple(value) if isinstance(value, list) else value for key, value in asked.items()
        }
        return cls(found["file"], found["bike"], Request(limits=limits, budget=budget, **given))


@dataclass(frozen=True, slots=True)
class Studied:
    """What a study gives, as the texts of two files.

    Parameters
    ----------
    study : str
        What the command line prints with --json.
    setups : str
        All setups that keep the limits, for the page.
    """

    study: str
    setups: str


Work = Callable[[Task, Progress], Studied]


def study(task: Task, progress: Progress) -> Studied:
    """Do a study; raises `ClutchwrightError`.

    Parameters
    ----------
    task : Task
        What is asked.
    progress : Progress
        Told how far it is.

    Returns
    -------
    Studied
        Its result.
    """
    asked = task.request
    bike, hand = bikefile.loads(task.bike, task.file), asked.parsed_hand()
    found, chosen, _ = usecases.study_bike(
        bike,
        asked.parsed_catalogue(),
        limits=asked.limits,
        target_N=asked.target_N,
        hand=hand,
        samples=asked.samples,
        seed=asked.seed,
        progress=progress,
    )
    kept = usecases.kept_setups(bike, found, hand=hand, progress=progress)
    data = study_to_json(found, chosen, target_N=asked.target_N)
    setups = setups_to_json(found, kept)
    return Studied(
        json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n",
        json.dumps(setups, ensure_ascii=False, allow_nan=False, separators=(",", ":")),
    )
