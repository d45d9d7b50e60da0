"""Text goldens with a style layer: every row twice, once as characters and once as inks.

A row of inks is written as letters: the ink's own letter, capital when bold. Comparing rewrites nothing; to accept a change run

    python -m tests.screen.golden

and read the difference before committing it.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.screen.sample import screen
from tests.screen.stored import STATES
from tests.screen.stored_screen import stored_screen
from tui.charting import Axes, Charting
from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, INK_COUNT, INK_MASK
from tui.fault_desk import FaultDesk
from tui.meter import Jaw, MeterDesk
from tui.tour import LEAVE, NEXT, OFFER, Pointer, Said
from tui.trending import Trending

FOLDER = Path(__file__).parent / "goldens"
LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789"
VOLTS = MeterDesk(cursor="HS-5.2", probes=["HS-5.1", "HS-5.2"])
OHMS = MeterDesk(cursor="C1.1", probes=["HS-5.1", "HS-5.2"], knob=3, tags_shown=True)
CLAMP = MeterDesk(cursor="W56", jaws=[Jaw("W56"), Jaw("W4", True)], knob=6, holding=True)
BOARD = {
    "view": "fault board",
    "instructor": True,
    "faults": FaultDesk(chosen="liquid-line-restricted", focus="severity", severity=0.3, onset=4),
}
TOUR = Said("tour, step 2 of 6: a valve", ["Done: HV-32 is chosen.", "Enter works the chosen part. HV-32 is open: its handle lies along the pipe."], "Press enter: HV-32 goes to shut.", (("enter", "act", "act"), NEXT, LEAVE), Pointer(("HV-32",)))  # fmt: skip
DIAL = TOUR._replace(pointer=Pointer(pane="dial", command="hold", top=True))
CASES: dict[str, dict[str, object]] = {
    "plant_80x24": {"width": 80, "height": 24},
    "plant_120x40": {"width": 120, "height": 40},
    "plant_200x60": {"width": 200, "height": 60},
    "plant_cold_120x40": {"width": 120, "height": 40, "start": "off"},
    "plant_us_instructor_120x40": {"width": 120, "height": 40, "us": True, "instructor": True},
    "plant_side_80x24": {"width": 80, "height": 24, "by_side": True},
    "plant_side_120x40": {"width": 120, "height": 40, "by_side": True},
    "plant_side_cold_200x60": {"width": 200, "height": 60, "by_side": True, "start": "off"},
    "plant_side_ascii_200x60": {"width": 200, "height": 60, "by_side": True, "glyphs": "ascii"},
    "plant_ascii_80x24": {"width": 80, "height": 24, "glyphs": "ascii"},
    "chart_80x24": {"width": 80, "height": 24, "view": "p-h chart"},
    "chart_120x40": {
        "width": 120,
        "height": 40,
        "view": "p-h chart",
        "charting": Charting(cursor=(0.6, 0.5)),
    },
    "chart_entropy_120x40": {
        "width": 120,
        "height": 40,
        "view": "p-h chart",
        "charting": Charting(Axes.TEMPERATURE_ENTROPY),
        "us": True,
    },
    "meters_120x40": {"width": 120, "height": 40, "view": "meters"},
    "trend_120x40": {
        "width": 120,
        "height": 40,
        "view": "trend",
        "trending": Trending(panes=[2, 4], cursor_s=200.0),
    },
    "trend_80x24": {"width": 80, "height": 24, "view": "trend"},
    "meters_80x24": {"width": 80, "height": 24, "view": "meters"},
    "table_instructor_120x40": {"width": 120, "height": 40, "view": "table", "instructor": True},
    "log_80x24": {"width": 80, "height": 24, "view": "log"},
    "wiring_80x24": {"width": 80, "height": 24, "view": "wiring", "meter": VOLTS},
    "wiring_120x40": {"width": 120, "height": 40, "view": "wiring", "meter": VOLTS},
    "wiring_200x60": {"width": 200, "height": 60, "view": "wiring", "meter": VOLTS},
    "wiring_refused_120x40": {"width": 120, "height": 40, "view": "wiring", "meter": OHMS},
    "wiring_assessed_120x40": {
        "width": 120,
        "height": 40,
        "view": "wiring",
        "meter": VOLTS,
        "assessed": True,
    },
    "wiring_cold_120x40": {"width": 120, "height": 40, "view": "wiring", "start": "off"},
    "wiring_ascii_80x24": {
        "width": 80,
        "height": 24,
        "view": "wiring",
        "meter": CLAMP,
        "glyphs": "ascii",
    },
    "plant_frost_80x24": {"width": 80, "height": 24, "white": 5},
    "plant_frost_120x40": {"width": 120, "height": 40, "white": 5},
    "plant_frost_200x60": {"width": 200, "height": 60, "white": 8},
    "plant_frost_ascii_80x24": {"width": 80, "height": 24, "white": 5, "glyphs": "ascii"},
    "senses_80x24": {"width": 80, "height": 24, "view": "senses", "white": 5},
    "senses_120x40": {"width": 120, "height": 40, "view": "senses", "white": 5},
    "senses_200x60": {"width": 200, "height": 60, "view": "senses", "start": "off"},
    "senses_instructor_120x40": {
        "width": 120,
        "height": 40,
        "view": "senses",
        "instructor": True,
        "us": True,
    },
    "senses_ascii_80x24": {"width": 80, "height": 24, "view": "senses", "glyphs": "ascii"},
    "working_80x24": {"width": 80, "height": 24, "view": "readings and working"},
    "working_120x40": {
        "width": 120,
        "height": 40,
        "view": "readings and working",
        "us": True,
        "step": "residual_w",
    },
    "working_200x60": {"width": 200, "height": 60, "view": "readings and working"},
    "working_assessed_120x40": {
        "width": 120,
        "height": 40,
        "view": "readings and working",
        "assessed": True,
    },
    "working_cold_ascii_80x24": {
        "width": 80,
        "height": 24,
        "view": "readings and working",
        "start": "off",
        "glyphs": "ascii",
    },
    "projector_80x24": {"width": 80, "height": 24, "view": "projector"},
    "projector_120x40": {"width": 120, "height": 40, "view": "projector"},
    "projector_200x60": {"width": 200, "height": 60, "view": "projector", "us": True},
    "projector_ascii_120x40": {
        "width": 120,
        "height": 40,
        "view": "projector",
        "glyphs": "ascii",
        "start": "off",
    },
    "plant_peak_120x40": {"width": 120, "height": 40, "holding": True},
    "board_80x24": {"width": 80, "height": 24, **BOARD},
    "board_120x40": {"width": 120, "height": 40, **BOARD},
    "board_200x60": {"width": 200, "height": 60, **BOARD},
    "board_ascii_80x24": {"width": 80, "height": 24, "glyphs": "ascii", **BOARD},
    "board_learner_80x24": {"width": 80, "height": 24, "view": "fault board"},
    "pair_80x24": {"width": 80, "height": 24, "view": "bench and copy"},
    "pair_120x40": {"width": 120, "height": 40, "view": "bench and copy", "us": True},
    "tour_80x24": {"width": 80, "height": 24, "tour": TOUR},
    "tour_ascii_80x24": {"width": 80, "height": 24, "tour": TOUR, "glyphs": "ascii"},
    "tour_120x40": {"width": 120, "height": 40, "tour": TOUR},
    "tour_200x60": {"width": 200, "height": 60, "tour": OFFER},
    "tour_dial_80x24": {"width": 80, "height": 24, "view": "meters", "tour": DIAL},
    "too_small_70x20": {"width": 70, "height": 20},
}
"""Name -> what ``screen`` is asked for."""
SIZES = ((80, 24), (120, 40), (200, 60))
STORED = {f"bench_{state}_{width}x{height}": (state, width, height) for state in STATES for width, height in SIZES}  # fmt: skip
"""Name -> a stored state of the computed plant (``stored.py``), and the size of the screen."""
NAMES = (*CASES, *STORED)


def letter(code: int) -> str:
    """An ink as one letter."""
    name = LETTERS[code & INK_MASK] if code & INK_MASK < len(LETTERS) else "?"
    return name.upper() if code & BOLD else name


def written(canvas: Canvas) -> str:
    """A canvas as text: characters, a line of dashes, inks."""
    chars = [canvas.row_text(y).rstrip() for y in range(canvas.height)]
    inks = ["".join(letter(int(code)) for code in row).rstrip("a") for row in canvas.inks]
    return "\n".join([*chars, "-" * 20, *inks]) + "\n"


def painted(name: str) -> str:
    """One case, painted now."""
    if name in STORED:
        return written(stored_screen(*STORED[name]).canvas)
    return written(screen(**CASES[name]))  # type: ignore[arg-type]


def main() -> int:
    """Write every golden anew."""
    FOLDER.mkdir(exist_ok=True)
    for name in NAMES:
        (FOLDER / f"{name}.txt").write_text(painted(name), encoding="utf-8")
    return 0


assert len(LETTERS) >= INK_COUNT

if __name__ == "__main__":
    sys.exit(main())
