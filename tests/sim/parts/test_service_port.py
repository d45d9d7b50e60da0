"""A capped service port is a name on a node and nothing more."""

from __future__ import annotations

from sim.layout import joins
from sim.parts.service_port import ServicePort
from sim.rig import PlacedPart, Port


def test_a_capped_port_makes_no_link() -> None:
    placed = PlacedPart(part=ServicePort(tag="SP-1"), ports=(Port(node="shell"),))
    assert not joins(placed)


def test_a_port_carries_the_cautions_of_pressure_and_gas() -> None:
    assert {"pressure", "gas"} <= set(ServicePort.HAZARDS)
