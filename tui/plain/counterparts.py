"""What the screen can do, and how it is typed; where it is not typed, why. A test holds every command of the screen against this list.

Also said by ``help screen``, to a person who knows the screen.
"""

from __future__ import annotations

TYPED: dict[str, str] = {
    "emergency_stop": "stop",
    "step": "wait 1",
    "go_on_until": "wait until steady",
    "go_back": "back 5 min",
    "act": "open HV-21",
    "more": "set HCV-22 more",
    "less": "set HCV-22 less",
    "card": "part HV-21",
    "repair": "repair M1",
    "begin_again": "begin capillary",
    "saturation_card": "saturation",
    "cautions": "cautions",
    "help": "help",
    "save": "save monday.rime",
    "all_commands": "help",
    "quit": "quit",
    "units": "units us si",
    "settings": "units pressure psi",
    "instructor": "view instructor",
    "trend_set": "trend PI-1",
    "trend_span": "trend PI-1 over 30 min",
    "own_trend": "trend PI-1",
    "live": "working now",
    "look_listen_touch": "look",
    "working": "working",
    "cover_results": "cover",
    "projector": "read PI-1, PI-2, superheat",
    "view_plant": "status",
    "view_trend": "trend PI-1",
    "view_meters": "read all",
    "view_table": "read all",
    "view_log": "events",
    "view_wiring": "parts wiring",
    "view_fault_board": "faults",
    "search_faults": "faults condenser",
    "remove_fault": "remove condenser-fouled",
    "undo_fault": "remove condenser-fouled",
    "what_would_happen": "ahead",
    "put_by": "keep monday",
    "probe_1": "measure volts K1.A1 K1.A2",
    "probe_2": "measure volts K1.A1 K1.A2",
    "clamp": "measure amps around W56",
    "knob": "measure ohms K1.A1 K1.A2",
    "knob_back": "measure ohms K1.A1 K1.A2",
    "peak_hold": "peaks new",
    "alarm": "status",
    "record_reading": "measure record",
    "lift_lead": "set W56 lifted",
    "jumper": "set jumper.1 K1.A1",
    "note": "note TEXT",
    "reading_set": "record",
    "notebook": "notebook",
    "export": "export report monday.html",
    "glossary": "glossary superheat",
    "tour": "tour",
    "end_tour": "end",
    "fork": "copy",
    "switch_hand": "copy set HCV-22 more",
    "view_bench_and_copy": "compare",
}
"""The screen's command -> an example of its typed form."""
_NO_CLOCK = "time passes only in wait, as fast as it can be computed, so there is nothing to hold and no pace"  # fmt: skip
_BY_NAME = "a part is named where it is meant, so nothing has to be chosen first"
_DRAWN = "it changes how something is drawn, and nothing is drawn here"
NOT_TYPED: dict[str, str] = {
    "hold": _NO_CLOCK,
    "slower": _NO_CLOCK,
    "faster": _NO_CLOCK,
    "jump": _BY_NAME,
    "move_left": _BY_NAME,
    "move_right": _BY_NAME,
    "move_up": _BY_NAME,
    "move_down": _BY_NAME,
    "next_part": _BY_NAME,
    "previous_part": _BY_NAME,
    "theme": _DRAWN,
    "characters": _DRAWN,
    "pipe_colours": "a colour; read all says the pressures of both sides, and the temperatures",
    "chart_axes": _DRAWN,
    "wire_tags": "parts wiring names every lead anyhow",
    "page_up": "a screen reader goes back through what was said",
    "page_down": "a screen reader goes back through what was said",
    "view_p-h_chart": "a picture; its numbers are in working: pressures, temperatures, enthalpies of the cycle",
    "keep_cycle": "a picture; record keeps the readings of two cycles, notebook says the second beside the first",
    "zero_leads": "the meter's leads are zeroed for every measurement",
    "hide_board": "there is no board to hide: view learner ends all talk of faults",
}
"""The screen's command -> why it has no typed form."""


def lines() -> list[str]:
    """All of it in sentences, by the screen's names."""
    said = [f"{name.replace('_', ' ')}: type {typed}." for name, typed in TYPED.items()]
    return [*said, *(f"{name.replace('_', ' ')}: not typed; {why}." for name, why in NOT_TYPED.items())]  # fmt: skip
