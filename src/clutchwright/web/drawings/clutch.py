"""The pack, the room round it, and the drive."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s


def _plate() -> list[str]:
    tabs = "".join(s.turned(s.box((161, 6), 18, 14), (170, 110), way) for way in range(0, 360, 45))
    return [tabs, s.circle((170, 110), 94), s.circle((170, 110), 62, "hole")]


def plate_outer() -> list[str]:
    """Across the friction ring."""
    return [*_plate(), s.dimension((76, 110), (264, 110), 0, aside=(0, -12))]


def plate_inner() -> list[str]:
    """Across the lining's inner edge."""
    return [*_plate(), s.dimension((108, 110), (232, 110), 0, aside=(0, -12))]


def _stack(top: float = 50.0, plates: int = 9) -> list[str]:
    thick = (14.0, 7.0)
    rows, y = [], top
    for number in range(plates):
        high = thick[number % 2]
        rows.append(s.box((92 if number % 2 == 0 else 112, y), 156 if number % 2 == 0 else 116, high - 1.5, "metal", 1))
        y += high
    return rows


def faces() -> list[str]:
    """Each friction plate has two faces."""
    numbers = [
        s.words((262, 50 + 21 * row + 12), f"{2 * row + 1}, {2 * row + 2}", "start", "query") for row in range(5)
    ]
    return [*_stack(), *numbers, s.words((92, 190), "two faces each", "start")]


def stack() -> list[str]:
    """Calliper over the stack of plates."""
    return [*_stack(), s.calliper((250, 148), (250, 50), -40), s.dimension((92, 148), (92, 50), 34)]


def wear_limit() -> list[str]:
    """Thickness of a friction plate, new and at its limit."""
    new, worn = s.box((50, 70), 96, 56, "metal", 2), s.box((196, 78), 96, 40, "metal", 2)
    return [
        new,
        worn,
        s.words((98, 160), "new"),
        s.words((244, 160), "least allowed"),
        s.dimension((98, 126), (98, 70), 0, "a", (16, 0)),
        s.dimension((244, 118), (244, 78), 0, "b", (16, 0)),
        s.words((170, 200), "? = (a \N{MINUS SIGN} b) \N{MULTIPLICATION SIGN} number of plates"),
    ]


def compression() -> list[str]:
    """Dial gauge on the pressure plate while the lever is pulled."""
    plate = s.box((80, 74), 180, 18)
    return [
        *_stack(96, 7),
        plate,
        s.dial((170, 74), -90),
        s.dimension((80, 92), (80, 74), 30, aside=(0, 0)),
        s.words((264, 60), "pressure plate", "middle"),
    ]


def flatness() -> list[str]:
    """Steel plate on glass, feeler gauge in the widest gap."""
    glass = s.box((20, 150), 300, 12, "tool")
    plate = s.body(("M50 140Q170 96 290 140", 12))
    return [
        glass,
        plate,
        s.path("M150 132L330 118L330 124L150 138Z", "tool"),
        s.dimension((170, 125), (170, 150), 0, aside=(18, 4)),
        s.words((30, 186), "glass", "start"),
        s.words((326, 106), "feeler gauge", "end"),
    ]


def clay() -> list[str]:
    """Modelling clay squeezed between the bolt heads and the cover."""
    cover = s.body(("M20 40H320", 16))
    bolt = s.box((140, 112), 60, 30) + s.box((158, 142), 24, 64)
    return [
        cover,
        s.path("M146 50Q170 46 194 50L188 110H152Z", "clay"),
        bolt,
        s.dimension((200, 110), (200, 50), -40),
        s.words((30, 24), "cover", "start"),
        s.words((130, 86), "clay", "end"),
        s.words((130, 132), "bolt", "end"),
    ]


def thread() -> list[str]:
    """How deep the bolt's thread goes into its boss."""
    boss = s.box((110, 96), 120, 110)
    turns = "".join(s.line((156, y), (184, y + 6)) for y in range(52, 170, 9))
    return [
        boss,
        s.box((134, 20), 72, 26),
        s.box((156, 46), 28, 130),
        turns,
        s.dimension((230, 96), (230, 176), 40),
        s.words((100, 190), "boss", "end"),
    ]


def bolt_diameter() -> list[str]:
    """Calliper across the thread."""
    turns = "".join(s.line((150, y), (190, y + 7)) for y in range(92, 190, 10))
    return [
        s.box((124, 50), 92, 36),
        s.box((150, 86), 40, 118),
        turns,
        s.calliper((150, 140), (190, 140), 118),
        s.dimension((150, 172), (190, 172), 0, aside=(0, -12)),
    ]


def teeth() -> list[str]:
    """Count the teeth of both wheels."""

    def wheel(centre: s.Place, radius: float, count: int) -> str:
        cut = "".join(
            s.turned(s.box((centre[0] - 4, centre[1] - radius - 7), 8, 12), centre, 360 / count * k)
            for k in range(count)
        )
        return cut + s.circle(centre, radius) + s.circle(centre, 7)

    return [
        wheel((110, 116), 76, 34),
        wheel((240, 116), 36, 16),
        s.words((110, 160), "teeth?", kind="query"),
        s.words((240, 174), "teeth?", kind="query"),
    ]


def wheel() -> list[str]:
    """One turn of the wheel, chalk mark to chalk mark."""
    tyre = s.circle((70, 110), 54) + s.circle((70, 110), 36, "hole")
    return [
        s.turned(tyre, (70, 110), 0),
        s.moved(s.turned(tyre, (70, 110), 0, "ghost"), 196, 0),
        s.line((10, 165), (330, 165), "metal"),
        s.dimension((70, 165), (266, 165), -24, aside=(0, -10)),
        s.path("M66 158h8v12h-8zM262 158h8v12h-8z", "asked solid"),
        s.words((168, 108), "one turn"),
    ]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    "pack.faces": faces,
    "pack.outer_mm": plate_outer,
    "pack.inner_mm": plate_inner,
    "pack.stack_mm": stack,
    "pack.wear_mm": stack,
    "pack.wear_limit_mm": wear_limit,
    "pack.compression_mm": compression,
    "pack.flatness_mm": flatness,
    "clearance.bolt_to_cover_mm": clay,
    "clearance.thread_engagement_mm": thread,
    "clearance.bolt_diameter_mm": bolt_diameter,
    "drive.primary_ratio": teeth,
    "drive.final_ratio": teeth,
    "drive.wheel_circumference_mm": wheel,
}
