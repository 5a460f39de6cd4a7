"""Imported before numpy where the program is started: its linear algebra works on one core.

Matrices here are small. Sharing one out among cores takes longer than its arithmetic, and keeps those cores from other visitors of
the page. Whoever says otherwise in the environment is heeded.
"""

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")
