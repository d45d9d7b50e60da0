"""Rimebench's plant: parts, network, integrator, bench. No screen, no thread, no wall clock.

Sign convention, here and everywhere: flow is positive from the first named terminal to the second; heat is positive into the refrigerant.
Units: SI with absolute pascal, kelvin, kilogram, joule, watt; names carry the unit.
"""
