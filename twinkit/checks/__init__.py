"""Checks: each one small class with its own examples, in a module of its step."""

import importlib
import pkgutil

from twinkit.checks.base import MARKS, REGISTRY, SEVERITY, VERDICTS, Advice, Check, Finding, findings, gathered, worst

for _module in sorted(module.name for module in pkgutil.iter_modules(__path__)):
    importlib.import_module(f"twinkit.checks.{_module}")      # importing registers its checks

__all__ = ["MARKS", "REGISTRY", "SEVERITY", "VERDICTS", "Advice", "Check", "Finding", "findings", "gathered", "worst"]
