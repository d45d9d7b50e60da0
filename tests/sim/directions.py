"""What moves when something is wrong: the rows of ``directions.toml`` put into the bench. ``python -m tests.sim.directions`` prints every cell."""

from __future__ import annotations

import sys
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from CoolProp.CoolProp import PropsSI

from sim import Bench, load_rig
from sim.columns import N_VOLUME, P_RHOL, P_VOID
from sim.fluid import Fluid
from sim.rig import Device
from sim.session import line_up, start_bench
from sim.starts import Receiver, Start
from sim.working.formulas import subcooling_k, superheat_k

DATA = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
ROWS = {row["id"]: row for row in DATA["row"]}
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
COLUMNS = (
    "suction pressure", "discharge pressure", "superheat", "subcooling", "discharge pipe", "current", "compressor power", "liquid flow",
    "glass", "air drop", "air rise",
)  # fmt: skip
BANDS = dict(zip((c for c in COLUMNS if c != "glass"), DATA["neutral"].values(), strict=True))
WARM_S = 5400.0
MOST_FROST_MIN = 480
DOUBLED = 6.0  # neutral bands
GLASS = {"clear": "c", "bubbles": "b", "foam": "b", "wet": "e", "empty": "e"}
SHARE_GONE = 0.15  # of the charge outside receiver and drier, in "past the receiver"
LOOK_S = 10.0  # between two looks at what moves to and fro
STEP_S, MOST_STEPS = 0.5, 2400  # until an event
SWINGS, AT_SATURATION, AS_THE_ROOM, FALSE = "~", "rs", "room", "false"
R134A = Fluid.load("R134a")


def of(row: dict[str, Any], key: str, device: Device) -> Any:
    """An entry of a row, which may be given by device."""
    value = row.get(key)
    return value.get(device, value.get("all")) if isinstance(value, dict) else value


@cache
def warm(device: Device, before: tuple[tuple[str, float], ...] = (), receiver: Receiver = "in-line") -> Bench:  # fmt: skip
    """A bench steady on a device with a clean coil; ``before`` is put before it warms."""
    if receiver == "bypassed":
        return start_bench(load_rig("fennick_bench"), Start(start="steady", device=device, receiver=receiver))  # fmt: skip
    bench = Bench(load_rig("fennick_bench"))
    for tag, value in before:
        bench.set(tag, value)
    bench.hold_frost(True)
    line_up(bench, device)
    bench.advance(WARM_S)
    bench.hold_frost(False)
    return bench


def seen(bench: Bench) -> dict[str, Any]:
    """What a person reads off, by column."""
    r: dict[str, Any] = bench.readings()
    values = (
        r["suction_pressure_pa"] / 1e5,
        r["discharge_pressure_pa"] / 1e5,
        r["evaporator_superheat_k"],
        r["condenser_subcooling_k"],
        r["discharge_temperature_k"],
        r["current_a"],
        r["compressor_power_w"],
        r["liquid_flow_kg_s"],
        GLASS[r["sight_glass"]],
        r["evaporator_air_in_k"] - r["evaporator_air_out_k"],
        r["condenser_air_out_k"] - r["condenser_air_in_k"],
    )
    return dict(zip(COLUMNS, values, strict=True)) | {"wet": r["evaporator_outlet_quality"] < 1.0}


def displayed(bench: Bench) -> dict[str, Any]:
    """The same as the instruments display it, superheat and subcooling worked out from gauge and thermometer with the plate's refrigerant."""
    r: dict[str, Any] = {key.removesuffix("_shown"): value for key, value in bench.readings().items() if key.endswith("_shown")}  # fmt: skip
    low, high = r["suction_pressure_pa"], r["discharge_pressure_pa"]
    values = (
        low / 1e5,
        high / 1e5,
        superheat_k(r["evaporator_outlet_temperature_k"], R134A.dew_temperature(low)),
        subcooling_k(R134A.bubble_temperature(high), r["liquid_temperature_k"]),
        r["discharge_temperature_k"],
        r["current_a"],
        r["power_w"],
        r["flowmeter"],
        GLASS[r["sight_glass"]],
        r["evaporator_air_in_k"] - r["evaporator_air_out_k"],
        r["condenser_air_out_k"] - r["condenser_air_in_k"],
    )
    true: dict[str, Any] = bench.readings()
    there = {"superheat": true["evaporator_superheat_k"], "subcooling": true["liquid_subcooling_k"]}
    return dict(zip(COLUMNS, values, strict=True)) | {"wet": False, "there": there}


def in_bands(column: str, before: dict[str, Any], after: dict[str, Any]) -> float:
    """Change of a reading in neutral bands."""
    band = BANDS[column] * (before[column] if column == "liquid flow" else 1.0)
    return float((after[column] - before[column]) / band)


def sign(column: str, before: dict[str, Any], after: dict[str, Any]) -> str:
    """0, a sign, or a doubled sign; for the glass what it shows."""
    if column == "glass":
        return str(after["glass"])
    change = in_bands(column, before, after)
    if abs(change) <= 1.0:
        return "0"
    one = "+" if change > 0.0 else "-"
    wet = column == "superheat" and change < 0.0 and after["wet"]
    return one * 2 if abs(change) > DOUBLED or wet else one


def told(column: str, said: str, before: dict[str, Any], after: dict[str, Any]) -> str:
    """The sign, or the word that is said if it is true: moves to and fro, stands at the room's saturation pressure (CoolProp) or at its temperature, is not what is there."""
    room_k = after["room_k"]
    if said == SWINGS:
        swing = after["swing"][column]
        return SWINGS if swing > BANDS[column] * (before[column] if column == "liquid flow" else 1.0) else sign(column, before, after)  # fmt: skip
    if said == AT_SATURATION:
        at_rest = PropsSI("P", "T", room_k, "Q", 1, "R134a") / 1e5
        return said if abs(after[column] - at_rest) <= BANDS[column] else sign(column, before, after)  # fmt: skip
    if said == FALSE:
        off = abs(after[column] - after["there"][column])
        return said if off > BANDS[column] else sign(column, before, after)
    if said == AS_THE_ROOM:
        return said if abs(after[column] - room_k) <= BANDS[column] else sign(column, before, after)
    return sign(column, before, after)


def contradicts(said: str, found: str) -> bool:
    """Opposite signs, another glass, nothing where one side is doubled, or not what a word says."""
    if said == ".":
        return False
    if said in ("c", "b", SWINGS, AT_SATURATION, AS_THE_ROOM, FALSE):
        return said != found
    if "0" in (said, found):
        return len(said + found) == 3
    return said[0] != found[0]


def grams_to_take(bench: Bench, how: str) -> float:
    """Kilograms that a row's words about charge mean on this bench now."""
    bench.look()
    node = bench.layout.nodes["receiver"]
    row = bench.watch.P[node]
    liquid = float(bench.plant.node[node, N_VOLUME] * (1.0 - row[P_VOID]) * row[P_RHOL])
    if how == "half the receiver":
        return 0.5 * liquid
    kept = {bench.layout.nodes[name] for name in ("receiver", "drier")}
    active = sum(bench.watch.y[k] for k in range(bench.layout.n_nodes) if k not in kept)
    return liquid + SHARE_GONE * float(active)


def put(bench: Bench, row: dict[str, Any], device: Device) -> None:
    """Let the row happen."""
    if fault := of(row, "fault", device):
        bench.insert_fault(fault, severity=of(row, "severity", device), place=row.get("place"))
    for other in row.get("also", []):
        bench.insert_fault(other)
    if "charge" in row:
        share = grams_to_take(bench, row["charge"]) / bench.rig.charge_kg
        bench.insert_fault("undercharge", severity=share)
    for tag, value in (of(row, "set", device) or {}).items():
        bench.set(tag, value)


def let_frost_grow(bench: Bench, air_left: float) -> None:
    """Until frost has choked the evaporator's air to a share of what it was."""
    clean = float(bench.readings()["evaporator_air_flow_kg_s"])
    for _ in range(MOST_FROST_MIN):
        if float(bench.readings()["evaporator_air_flow_kg_s"]) < air_left * clean:
            return
        bench.advance(60.0)
    raise AssertionError("the coil does not frost that much")


def let_run(bench: Bench, row: dict[str, Any], device: Device) -> None:
    """Until the row is looked at."""
    if air_left := of(row, "frost_until_air", device):
        let_frost_grow(bench, air_left)
    elif kind := row.get("until"):
        until_event(bench, kind)
    else:
        bench.advance(of(row, "at_s", device) or WARM_S)


def until_event(bench: Bench, kind: str) -> None:
    """Until an event of a kind happens."""
    already = len(bench.events)
    for _ in range(MOST_STEPS):
        bench.advance(STEP_S)
        if any(event.kind == kind for event in bench.events[already:]):
            return
    raise AssertionError(f"there is no {kind}")


def swings(bench: Bench, watch_s: float) -> dict[str, Any]:
    """How far each reading moves to and fro in a while; a glass has bubbles if it ever has."""
    looks = []
    for _ in range(int(watch_s / LOOK_S)):
        bench.advance(LOOK_S)
        looks.append(seen(bench))
    far = {c: max(one[c] for one in looks) - min(one[c] for one in looks) for c in BANDS}
    return {"swing": far, "glass": "b" if any(one["glass"] == "b" for one in looks) else "c"}


@cache
def before_and_after(ident: str, device: Device) -> tuple[dict[str, Any], dict[str, Any]]:
    """Readings of a row before and after."""
    row = ROWS[ident]
    before = tuple((of(row, "before", device) or {}).items())
    healthy = warm(device, before, row.get("receiver", "in-line"))
    bench = healthy.fork()
    if rest_s := row.get("rest_s"):
        bench.set("HS-4", "off")
        bench.advance(rest_s)
    sound = bench.fork() if row.get("beside") == "sound" else healthy
    put(bench, row, device)
    for one in (bench, sound) if rest_s and sound is not healthy else (bench,) if rest_s else ():
        one.advance(1.0)  # what migrates is there
        one.set("HS-4", "on")
    let_run(bench, row, device)
    if sound is not healthy:
        sound.advance(bench.time_s - sound.time_s)
    look = displayed if row.get("shown") else seen
    now = look(bench) | {"room_k": bench.surroundings.room_temperature_k}
    watch_s = of(row, "watch_s", device)
    return look(sound), now | (swings(bench, watch_s) if watch_s else {})


def expected(ident: str, device: Device) -> dict[str, str]:
    """The row's signs by column."""
    return dict(zip(COLUMNS, ROWS[ident][device].split(), strict=True))


def found_in(ident: str, device: Device) -> dict[str, str]:
    """The bench's signs by column."""
    before, after = before_and_after(ident, device)
    said = expected(ident, device)
    return {column: told(column, said[column], before, after) for column in COLUMNS}


def against(ident: str, device: Device) -> dict[str, str]:
    """Column -> what is computed against what is said, and has its reason in the row."""
    return {column: one for entry in ROWS[ident].get("against", []) if device in entry["on"].split() for column, one in pairs(entry)}  # fmt: skip


def pairs(entry: dict[str, Any]) -> list[tuple[str, str]]:
    """(column, sign computed) of a reason: one, or a table of them."""
    computed = entry["computed"]
    return list(computed.items()) if isinstance(computed, dict) else [(entry["reading"], computed)]


def main(*only: str) -> None:
    """Print every cell (of some rows): the sign computed; behind it, where it differs, what was said, with ! when it contradicts."""
    for ident, row in ((i, r) for i, r in ROWS.items() if not only or i in only):
        print(f"\n{ident} {row['what']}")
        for device in DEVICES:
            said = expected(ident, device)
            if set(said.values()) == {"."}:
                continue
            found = found_in(ident, device)
            cells = [
                found[c] if said[c] in (".", found[c]) else f"{found[c]} [{said[c]}]{'!' * contradicts(said[c], found[c])}"
                for c in COLUMNS
            ]  # fmt: skip
            print(f"  {device:13}" + "".join(f"{cell:>12}" for cell in cells))


if __name__ == "__main__":
    main(*sys.argv[1:])
