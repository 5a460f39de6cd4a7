"""Tests that try many inputs try the same ones every time, so that a red run can be repeated."""

import gc
import sys
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

import jumpcalc.show.one_core  # noqa: F401, before numpy

sys.path.insert(0, str(Path(__file__).parent))  # for what several test files share

settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("repeatable")


@pytest.fixture(scope="session", autouse=True)
def _installed_once():
    """Each page of Streamlit's test harness looks through all installed packages for components: 0.16 s a page; once is enough."""
    from streamlit.components.v2 import manifest_scanner

    with pytest.MonkeyPatch.context() as patch:
        if hasattr(manifest_scanner, "scan_component_manifests"):
            patch.setattr(manifest_scanner, "scan_component_manifests", cache(manifest_scanner.scan_component_manifests))
        yield


def pytest_collection_finish():
    """What was loaded so far stays: to look through it for garbage again and again takes a twentieth of the time."""
    gc.collect()
    gc.freeze()


def pytest_terminal_summary(terminalreporter):
    """What tests measured without judging it, such as times of the page, is printed at the end."""
    for report in terminalreporter.getreports("passed"):
        for name, text in report.user_properties:
            if name == "measured":
                terminalreporter.write_line(text)
