"""Tables with the defaults of what is not given, where those stand in the declarations and nowhere else."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TypeVar

from jumpcalc.plan.inputs.declare import declared

__all__ = ["filled"]

Kind = TypeVar("Kind")


def filled(given: Kind) -> Kind:
    """A table with the defaults of what is not given.

    Parameters
    ----------
    given : object
        A table of inputs.

    Returns
    -------
    object
        The same; what has no default of its own stays None.

    Examples
    --------
    >>> from jumpcalc.plan.inputs.site import SiteRider
    >>> filled(SiteRider(bike="dirt jump"))
    SiteRider(mass=85 kg, bike='dirt jump', fastest=40 km/h, speed_sd=5 %, centre_of_mass_height=1.05 m)
    """
    own = declared(type(given))
    new = {f.name: own[f.name].default_si for f in fields(given) if f.name in own and getattr(given, f.name) is None}
    return replace(given, **{name: value for name, value in new.items() if value is not None})
