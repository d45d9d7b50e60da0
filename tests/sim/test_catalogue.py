"""The catalogue is explicit, and complete."""

from __future__ import annotations

import importlib
import inspect
from dataclasses import fields
from pathlib import Path

import pytest

import sim.parts
from sim.catalogue import CATALOGUE
from sim.part import Part

MODULES = sorted(path.stem for path in Path(sim.parts.__file__ or "").parent.glob("*.py"))


def kinds_in(name: str) -> list[type[Part]]:
    module = importlib.import_module(f"sim.parts.{name}")
    classes = [one for _, one in inspect.getmembers(module, inspect.isclass)]
    return [one for one in classes if issubclass(one, Part) and one.__module__ == module.__name__]


@pytest.mark.parametrize("name", [name for name in MODULES if name != "__init__"])
def test_every_kind_in_a_part_file_is_in_the_catalogue(name: str) -> None:
    assert [kind for kind in kinds_in(name) if CATALOGUE.get(kind.KIND) is not kind] == []


@pytest.mark.parametrize("kind", sorted(CATALOGUE))
def test_a_range_belongs_to_a_field_and_is_not_empty(kind: str) -> None:
    cls = CATALOGUE[kind]
    assert set(cls.RANGES) <= {field.name for field in fields(cls)}
    assert all(low < high for low, high in cls.RANGES.values())


@pytest.mark.parametrize("kind", sorted(CATALOGUE))
def test_every_number_of_a_kind_has_a_range(kind: str) -> None:
    cls = CATALOGUE[kind]
    numbers = {
        field.name for field in fields(cls) if str(field.type).split(" |")[0] in ("float", "int")
    }
    assert numbers - set(cls.RANGES) == set()


@pytest.mark.parametrize("kind", sorted(CATALOGUE))
def test_no_port_has_the_name_of_a_parameter(kind: str) -> None:
    cls = CATALOGUE[kind]
    assert not set(cls.PORTS) & {field.name for field in fields(cls)}
    assert kind == kind.lower().replace("-", "_")
