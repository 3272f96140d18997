"""Write the page that holds the hand model against the one published study of two levers: docs/hand/comparison.md."""

from __future__ import annotations

from pathlib import Path

from clutchwright.hand.acceptable import acceptable_effort
from clutchwright.hand.day import ride_fatigue, riding_time
from clutchwright.hand.hand import HandFacts, capacity, estimate_hand
from clutchwright.hand.norms import Sex
from clutchwright.hand.riding import RIDINGS
from clutchwright.hand.strength import SEXES, norm_strength

PAGE = Path(__file__).parent / "hand" / "comparison.md"
HEAVY, LIGHT = 98.0, 36.0  # [N]
SPANS_MM = (60, 70, 80, 90)
AGE = 35
HOUR = 3600.0  # [s]
TOWN = RIDINGS["town"]
PUBLISHED = {"man": "14 to 31 %", "woman": "27 to 49 %"}

COLUMNS = (
    "span at the peak",
    "",
    "share at 98 N",
    "hours",
    "share at 36 N",
    "hours",
    "fatigued after 1 h at 98 N",
    "at 36 N",
    "less by",
    "published: signal less by",
)
TEXT = """# The one published comparison

Conrad & Marklin (2014), J Ergonomics S4:006 (found: the abstract): 12 women and 11 men in 60 minutes of
simulated traffic, with a clutch lever of 98 N peak pull and one of 36 N. Fatigue in the muscle signal of the
forearm was lower with the light one by 27 to 49 % in women and by 14 to 31 % in men, and all preferred it.

Their span, travel, pulls a minute, gloves and ages could not be had. Assumed here: the urban cycle with 5 s in
gear before each start, four bare fingers, seated, the median hand of {age} years. Acceptable for eight hours of
it: {acceptable} of the strength.

{head}
{rows}

What can be said: at 80 mm and more the model says of the median of each sex that the heavy lever tires and the
light one does not; at 70 mm and less the heavy lever is just acceptable to the median man. In each row the
light lever leaves less fatigue, and women gain more fatigue-free strength from it than men: both the published
way.

What cannot be compared: the fatigued share of the three-compartment model and a change of the muscle's signal
are different things, so only their directions stand side by side. The model's share is nearly in proportion to
the force, hence the same {less} in each row, while the study found less, and different for women and men; so
the size of the effect is not confirmed. With their span and pulls unknown, agreement shows that the model goes
the published way for a likely lever, and no more.

The same through bike file and hand file is a test: `tests/unit/study/test_hand_assessment.py`.
"""


def share(sex: Sex, span_mm: float, pull: float) -> float:
    """Effort share of the median bare hand [-] at a span [mm] and a pull [N]."""
    hand = estimate_hand(HandFacts(norm_strength(sex, AGE, 50), sex, gloved=False)).nominal()
    return pull / float(capacity(hand, span_mm * 1e-3))


def page() -> str:
    """The page, in Markdown."""
    rows, less = "", 0.0
    for span in SPANS_MM:
        for sex in SEXES:
            heavy, light = share(sex, span, HEAVY), share(sex, span, LIGHT)
            tired = [float(ride_fatigue(each, TOWN, HOUR).fatigued[-2]) for each in (heavy, light)]
            less = 1.0 - tired[1] / tired[0]
            cells = (
                f"{span} mm",
                sex,
                f"{heavy:.0%}",
                hours(heavy),
                f"{light:.0%}",
                hours(light),
                f"{tired[0]:.1%}",
                f"{tired[1]:.1%}",
                f"{less:.0%}",
                PUBLISHED[sex],
            )
            rows += f"| {' | '.join(cells)} |\n"
    acceptable = f"{float(acceptable_effort(TOWN.duty)):.0%}"
    head = f"| {' | '.join(COLUMNS)} |\n{'|---' * len(COLUMNS)}|"
    return TEXT.format(head=head, age=AGE, acceptable=acceptable, rows=rows, less=f"{less:.0%}")


def hours(effort: float) -> str:
    """Median riding time in words."""
    time = float(riding_time(effort, TOWN).p50) / HOUR
    return "8 or more" if time >= 8.0 else f"{time:.1f}"


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8", newline="\n")
