"""Water in the circuit: what liquid refrigerant dissolves, what the drier takes, what freezes in a metering device and melts again.

Kept beside the plant's equations, in steps of STEP_S, because it is slow and weighs nothing there: grams of water, milligrams of ice. Plain text:

    C = water in circulation over refrigerant in the plant
    drier:  d held/dt = m_drier C PASS (1 - held/room)
    device: e = m [C - (1 - x) S(T)]   water beyond what the liquid behind the device dissolves (x quality, T temperature there; none in the vapour)
            d ice/dt = CATCH e  below 0 degC, fading out over the last kelvin; liquid that could dissolve more takes up TAKE_UP |e|;   above: melts at (T - 0 degC)/MELT_K_S of a full plug a second
            free share of the device's area = 1 - ice/plug,  plug = ice over PLUG_M of its bore

A device that ices passes less, so suction falls, the device gets colder, and less water comes: it closes more and more slowly, until a control stops the
machine. Then it warms and melts, and everything begins anew: an intermittent fault by itself. Left out: water in the vapour, hydrates (which block a little
above 0 degC too), water in the oil (an ester takes up most of a real plant's), the heat of fusion of some milligrams.

Solubility: ASHRAE Handbook Refrigeration (2010) ch. 7 table 1, R134a (Thrasher et al. 1993), ppm by mass in saturated liquid, straight in its logarithm between
the table's points; it ends at -40 and 71 degC. The trade's figure, about 1300 ppm at 25 degC, agrees. Carried over to other fluids only in kind.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from math import pi
from typing import TYPE_CHECKING

import numpy as np

from sim import columns as c

if TYPE_CHECKING:
    from sim.bench import Bench

STEP_S = 2.0  # own arithmetic: a hundredth of the time in which a plug grows
FAHRENHEIT = (-40.0, 0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0, 160.0)  # table 1  # fmt: skip
PPM = (89.0, 250.0, 320.0, 390.0, 490.0, 600.0, 730.0, 880.0, 1100.0, 1300.0, 1500.0, 1800.0, 2400.0, 4200.0)  # table 1  # fmt: skip
FREEZING_K = 273.15  # ice point
FADE_K = 1.0  # guess: a valve's body is that uneven
CATCH = 0.001  # guess: most crystals are swept on; makes a wet plant block in some ten minutes (common practice 5 to 20)
PLUG_M = 0.02  # guess: ice grows along the seat and the outlet of a device, not in one plane
TAKE_UP = 0.05  # guess: liquid that passes a plug at speed takes that share of what it could still dissolve
MELT_K_S = 300.0  # guess: five degrees above freezing clear a device within a minute
ICE_KG_M3 = 917.0  # ice at 0 degC (handbooks)
LEAST_OPEN = 1e-3  # guess: some refrigerant always finds a way past
PASS = 0.15  # guess: share of the water that one pass through a small drier takes out
DRIER_ROOM_KG = 1.5e-3  # guess: 10 g of molecular sieve at some 15 % of its mass (common practice)
DRY_KG = 1e-9
DEVICES = (c.CAPILLARY, c.NEEDLE, c.TXV, c.FLOAT)


def solubility(kelvin: float) -> float:
    """Water that saturated liquid R134a dissolves, kg/kg; the ends of the table beyond it."""
    fahrenheit = (kelvin - 273.15) * 1.8 + 32.0
    return float(1e-6 * np.exp(np.interp(fahrenheit, FAHRENHEIT, np.log(PPM))))


@dataclass
class Moisture:
    """Water of one plant, kg."""

    circulating_kg: float = 0.0
    drier_kg: float = 0.0
    drier_room_kg: float = DRIER_ROOM_KG
    ice_kg: dict[str, float] = field(default_factory=dict)
    """By device; what is not there has none."""

    @property
    def there(self) -> bool:
        """Is there any water that could still do something?"""
        return self.circulating_kg + sum(self.ice_kg.values()) > DRY_KG

    def kilograms(self) -> dict[str, float]:
        """Water by place."""
        return {"circulating": self.circulating_kg, "drier": self.drier_kg, **{f"ice in {tag}": kg for tag, kg in self.ice_kg.items()}}  # fmt: skip

    def add(self, bench: Bench, kg: float) -> None:
        """Water gets in; from now on it is looked after."""
        self.circulating_kg += kg
        self.keep_on(bench)

    def keep_on(self, bench: Bench) -> None:
        """Come back for the next step while there is water."""
        if self.there and all(due.method != "moisture_step" for due in bench._due):
            bench.later(STEP_S, "moisture_step")

    def step(self, bench: Bench) -> None:
        """STEP_S of drying, freezing and melting with the present flows."""
        refrigerant = bench.total_mass_kg  # looks at the plant
        share = self.circulating_kg / max(refrigerant, 1e-3)
        self.dry(bench, share)
        for k, plan in enumerate(bench.layout.plans):
            if plan.kind in DEVICES:
                self.freeze(bench, k, share)
        self.keep_on(bench)

    def dry(self, bench: Bench, share: float) -> None:
        """What the drier takes out of what flows into it."""
        lay = bench.layout
        flow = sum(max(float(bench.watch.F[k, 0]), 0.0) for k, p in enumerate(lay.plans) if p.end.node == "drier")  # fmt: skip
        room = max(self.drier_room_kg - self.drier_kg, 0.0)
        empty = room / max(self.drier_room_kg, DRY_KG)
        taken = min(STEP_S * flow * share * PASS * empty, self.circulating_kg, room)
        self.circulating_kg -= taken
        self.drier_kg += taken

    def freeze(self, bench: Bench, k: int, share: float) -> None:
        """Ice in device k, whichever way it flows."""
        tag, row = bench.layout.plans[k].tag, bench.plant.link_i[k]
        m = float(bench.watch.F[k, 0])
        behind = bench.watch.P[row[c.LI_TO if m >= 0.0 else c.LI_FROM]]
        kelvin = float(behind[c.P_T])
        plug, ice = plug_kg(bench, k), self.ice_kg.get(tag, 0.0)
        x = min(max(float(behind[c.P_X]), 0.0), 1.0)
        beyond = abs(m) * (share - (1.0 - x) * solubility(kelvin))
        cold = min(max((FREEZING_K - kelvin) / FADE_K, 0.0), 1.0)
        grown = STEP_S * beyond * (CATCH * cold if beyond > 0.0 else TAKE_UP)
        grown = max(min(grown, self.circulating_kg, plug - ice), -ice)
        melted = min(STEP_S * plug * max(kelvin - FREEZING_K, 0.0) / MELT_K_S, ice + grown)
        if ice > 0.0 or grown > 0.0:
            self.ice_kg[tag] = ice + grown - melted
            self.circulating_kg += melted - grown

    def write(self, bench: Bench) -> None:
        """Narrow the devices by the ice in them."""
        for tag, ice in self.ice_kg.items():
            k = bench.layout.links[tag]
            bench.plant.link[k, c.L_OPENING] *= max(1.0 - ice / plug_kg(bench, k), LEAST_OPEN)

    def plain(self) -> dict[str, object]:
        """For a save."""
        return asdict(self)


def plug_kg(bench: Bench, k: int) -> float:
    """Ice that fills device k."""
    part = bench.layout.plans[k].part
    tube = bench.layout.plans[k].kind == c.CAPILLARY
    area = pi / 4.0 * part.bore_m**2 if tube else part.full_area_m2
    return float(ICE_KG_M3 * PLUG_M * area)
