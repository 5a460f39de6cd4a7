"""Jumps: the questions that riders, builders and coaches ask."""
