"""What the spring of a thermostatic valve sets, in superheat: worked out at the pressure that the suction gauge shows.

The spring holds the needle shut until bulb pressure is that much above evaporator pressure, so at a pressure p the valve begins to open at the superheat
t(p + spring) - t(p), t being the saturation temperature of the bulb's charge, taken as the system's refrigerant. Static superheat and a quarter turn's share: common practice.
"""

from __future__ import annotations

from math import isfinite

from tui.draw.scene import Scene
from tui.report import Report
from tui.working import difference_words


def spring_lines(tag: str, scene: Scene, about: Report) -> list[str]:
    """The setting of a thermostatic valve; nothing for other parts."""
    spring = about.springs.get(tag)
    if spring is None or scene.fluid is None or scene.own_work:
        return []
    turns = scene.setting(f"{tag}.spring")
    now_pa = spring.delivered_pa + spring.quarter_turn_pa * float(turns or 0.0)
    pressure = scene.number("suction_pressure_pa")
    boils, opens, turned = (scene.fluid.boiling_k(pressure + more) for more in (0.0, now_pa, now_pa + spring.quarter_turn_pa))  # fmt: skip
    if not isfinite(turned - boils):
        return []
    begins, step = (difference_words("gauge_superheat_k", more, scene.units) for more in (opens - boils, turned - opens))  # fmt: skip
    at = scene.quantity("suction_pressure_pa", pressure)
    return [f"Its spring sets the superheat. As it stands, and at the {at} of the suction gauge, the valve begins to open at {begins}; a quarter turn in adds {step}, out takes as much off. What the coil then runs at lies a few degrees higher."]  # fmt: skip
