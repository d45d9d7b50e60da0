"""``rimebench steady``: the steady state of a rig, beside a cycle computed from the reference equation of state."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any

from sim.cautions import all_cautions
from sim.errors import UsageError
from sim.run_check import setting_fault
from sim.run_log import columns, to_json
from sim.starts import DEVICES, MODES
from tui.console import plant
from tui.console.output import reading_row, say, table, tell

COMPARED = """bench against reference, percent
A check of bookkeeping, not of the plant: the reference is given the bench's own pressures,
superheats, subcooling, flow and efficiencies."""
IN_HEATING = """
In heating capacity_w is what the evaporator, now the other coil, takes up, and cop is that over the
compressor's power; the reading cop counts the heat given off."""
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "steady", help="the steady state of a rig, beside a reference cycle"
    )
    parser.add_argument("rig", metavar="RIG", help="a shipped rig, RIG:WIRING, or a rig's folder")
    parser.add_argument("--device", choices=DEVICES, default="thermostatic")
    parser.add_argument("--mode", choices=MODES, default="cooling")
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="a tag or a key of [surroundings]; may be repeated",
    )
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Find the steady state and show it. Exit code."""
    settings = dict(parse_setting(text) for text in arguments.set)
    rig = plant.rig(arguments.rig)
    if settings:
        by_tag = {info.tag: info for info in plant.tags(rig)}
        wrong = [setting_fault(name, value, by_tag) for name, value in settings.items()]
        if any(wrong):
            raise UsageError("\n".join(f"--set: {' '.join(found)}" for found in wrong if found))
    report = plant.steady(rig, arguments.device, arguments.mode, settings)
    if arguments.json:
        say(to_json({**report, "cautions": [all_cautions()["general"].record]}))
    else:
        say(as_tables(report, rig.surroundings.atmospheric_pressure_pa, arguments.mode))
    for warning in report["warnings"]:
        tell(f"warning: {warning}")
    return 0


def parse_setting(text: str) -> tuple[str, float | str]:
    """``NAME=VALUE``; a value that reads as a number is one. Raises UsageError."""
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise UsageError(
            f"--set {text}: write NAME=VALUE, for instance --set room_temperature_c=31."
        )
    try:
        return name.strip(), float(value)
    except ValueError:
        return name.strip(), value.strip()


def as_tables(report: Mapping[str, Any], atmosphere_pa: float, mode: str) -> str:
    """The report as a person reads it."""
    readings = report["readings"]
    rows = [reading_row(name, readings[name], atmosphere_pa) for name in columns(readings)]
    parts = [table(("reading", "SI", "as a dial shows it"), rows)]
    parts.append(_states("states on the bench", report["states"]))
    parts.append(_states("states of the reference cycle", report["reference"]["states"]))
    parts.append(_pairs("balance", report["balance"]))
    title = COMPARED + IN_HEATING if mode == "heating" else COMPARED
    parts.append(_pairs(title, report["difference_percent"]))
    return "\n\n".join(parts)


def _states(title: str, states: list[Mapping[str, Any]]) -> str:
    rows = [
        (
            str(state["point"]),
            str(state["place"]),
            f"{state['p_pa'] / 1e5:.3f}",
            f"{state['t_k'] - 273.15:.2f}",
            f"{state['h_j_kg'] / 1e3:.2f}",
            f"{state['s_j_kg_k'] / 1e3:.4f}",
            _quality(state["quality"]),
        )
        for state in states
    ]
    head = ("point", "place", "p bar abs", "t °C", "h kJ/kg", "s kJ/(kg K)", "quality")
    return f"{title}\n{table(head, rows)}"


def _quality(value: float | None) -> str:
    return "" if value is None else f"{value:.4f}"


def _pairs(title: str, values: Mapping[str, Any]) -> str:
    rows = [
        (name, value if isinstance(value, str) else f"{value:.6g}")
        for name, value in values.items()
    ]
    return f"{title}\n{table(('name', 'value'), rows)}"
