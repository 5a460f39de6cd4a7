"""Tests that try many inputs try the same ones every time, so that a red run can be repeated."""

import sys
from pathlib import Path

from hypothesis import settings

import jumpcalc.show.one_core  # noqa: F401, before numpy

sys.path.insert(0, str(Path(__file__).parent))  # for what several test files share

settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("repeatable")


def pytest_terminal_summary(terminalreporter):
    """What tests measured without judging it, such as times of the page, is printed at the end."""
    for report in terminalreporter.getreports("passed"):
        for name, text in report.user_properties:
            if name == "measured":
                terminalreporter.write_line(text)
