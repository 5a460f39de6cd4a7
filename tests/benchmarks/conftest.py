"""Benchmarks are imported with the tests, so that one that no longer fits the package is noticed; a part of the grid is one."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
