"""``python -m jumpcalc`` is the command line."""

from jumpcalc.show.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
