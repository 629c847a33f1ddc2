"""Checks: each one small class with its own examples, in the module of its step."""

from twinkit.checks import bench, leads, power, power_layout, rudder, start, weight, wing, wing_build, wing_paper, wing_strength, wiring, wiring_settings, wiring_supply  # noqa: F401  (importing registers them)
from twinkit.checks.base import MARKS, REGISTRY, SEVERITY, VERDICTS, Advice, Check, Finding, findings, worst

__all__ = ["MARKS", "REGISTRY", "SEVERITY", "VERDICTS", "Advice", "Check", "Finding", "findings", "worst"]
