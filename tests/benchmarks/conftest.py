"""Benchmarks are no tests, but are imported with them, so that one that no longer fits the package is noticed."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
