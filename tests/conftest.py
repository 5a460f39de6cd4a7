"""Tests that try many inputs try the same ones every time, so that a red run can be repeated."""

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")
