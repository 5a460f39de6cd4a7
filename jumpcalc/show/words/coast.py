"""What is said of coast-downs: rolling resistance and drag area, how sure, what was held, and what it does to the line."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.field.coast import NAMES, Fit, Ground
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Between, Words, and_list, listed, said

__all__ = ["found", "report"]

_CALLED = {"rolling_resistance": "rolling resistance", "drag_area": "drag area", "slope": "the slope's error", "wind": "the wind's error"}
_TIED = 0.5  # correlation from which on it is spoken of
_SCATTERED = 2.0  # times the stated uncertainty from which on it is spoken of
_FAR_OFF = 3.0
_SAME = 1e-6  # rad


def found(fit: Fit) -> list[Words]:
    """What coast-downs were reckoned on, what they tell, what was held, how tied the two are, and what fits badly.

    Parameters
    ----------
    fit : Fit
        The fit.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    grounds = reckoned_on(fit)
    if not fit.offered:
        return listed([*grounds, *_fits(fit), *_no_value(fit)])
    value, size = fit.values["rolling_resistance"], fit.uncertainties["rolling_resistance"]
    own = f"Rolling resistance {value:.4f}, 90 of 100 within ± {NINETY * size:.4f}"
    told: list[Words] = [*grounds, f"{own}; {fit.prior['rolling_resistance'][0]:.4f} was taken before."]
    area, off = fit.values["drag_area"], NINETY * fit.uncertainties["drag_area"]
    if "drag_area" in fit.told:
        told.append(said("Drag area {area:area.2}, 90 of 100 within ± {off:area.2}.", area=area, off=off))
    else:
        told.append(
            said(
                "These runs do not tell the drag area: it is held at {area:area.2} ± {prior:area.2}, and that is in how sure the rolling "
                "resistance is.",
                area=area, prior=NINETY * fit.prior["drag_area"][1],
            )
        )  # fmt: skip
    told += [_extra(fit, name) for name in NAMES[2:]]
    if abs(fit.correlation) >= _TIED:
        way = "less" if fit.correlation < 0 else "more"
        tied = f"{fit.correlation:.2f}".replace("-", "−")
        told.append(f"The two are tied, correlation {tied}: more of the one would mean {way} of the other.")
    return listed([*told, *_fits(fit)])


def reckoned_on(fit: Fit) -> list[Words]:
    """On which ground and which slope runs were reckoned.

    Parameters
    ----------
    fit : Fit
        The fit.

    Returns
    -------
    list of str or Said
        A sentence for each ground, with the runs that were on it.
    """
    runs: dict[tuple[str | None, tuple[float, float]], list[Ground]] = {}
    for one in fit.grounds:
        runs.setdefault((one.of, one.slopes), []).append(one)
    return [_on_one(of, slopes, [one.run for one in those]) for (of, slopes), those in runs.items()]


def _on_one(of: str | None, slopes: tuple[float, float], runs: list[str]) -> Words:
    """A ground with its runs."""
    which = f"{'Run' if len(runs) == 1 else 'Runs'} {and_list(runs)} {'was' if len(runs) == 1 else 'were'} reckoned on"
    low, high = slopes
    slope = said("{low:angle.1}", low=low) if high - low < _SAME else said("{span:angle.1}", span=Between(low, high))
    if of is None:
        return said(f"{which} a strip of slope {{slope}}, as given (negative falls).", slope=slope)
    own = {"run_in": "run-in, from its top on", "runout": "runout, from its beginning on"}[of]
    return said(
        f"{which} the line's own {own}, of slope {{slope}} (negative falls), because no slope was given: if it rolled anywhere else, all "
        "of this is wrong; give slope_deg then, 0 for level ground.",
        slope=slope,
    )  # fmt: skip


def _no_value(fit: Fit) -> list[Words]:
    """That nothing is taken from such readings, and what to look at."""
    look = ["whether the strip falls more than was given", "wind from behind"] if fit.unslowed else []
    if any(one.of is not None for one in fit.grounds):
        look.append("whether it rolled on that ground: if not, give slope_deg")
    look.append("the readings of that run and their units")
    look += [] if fit.unslowed else ["a brake that drags", "gusts", "ground that changes on the way"]
    why = "any number made of these readings would be one of something else"
    if fit.unslowed:
        why = "by these readings next to nothing slows what rolls"
    return [
        f"So no rolling resistance is given: {why}.",
        f"Look at this first: {'; '.join(look)}.",
    ]


def _extra(fit: Fit, name: str) -> Words:
    """What was found of slope or wind, or that it was held."""
    value, kind = fit.values[name], "angle.1" if name == "slope" else "speed"
    off = NINETY * fit.uncertainties[name]
    if name in fit.told:
        if name == "slope":
            way = "falls less or climbs more" if value > 0 else "falls more or climbs less"
            what = f"on the way there the strip {way} than was given, by {{value:{kind}}}"
        else:
            what = f"on the way there the wind comes more from {'behind' if value > 0 else 'ahead'} than was given, by {{value:{kind}}}"
        return said(f"Found too: {what}, 90 of 100 within ± {{off:{kind}}}.", value=abs(value), off=off)
    cure = "; runs both ways on one strip would cancel it" if name == "slope" else ""
    return said(f"Held: {_CALLED[name]}, at 0 ± {{prior:{kind}}}{cure}.", prior=NINETY * fit.prior[name][1])


def _fits(fit: Fit) -> list[str]:
    """How well all of it fits."""
    if fit.scatter is None:
        return ["There are no more readings than unknowns: nothing checks them against each other."]
    told = [f"{fit.readings} numbers of {fit.runs} run{'s' if fit.runs > 1 else ''}; they scatter {fit.scatter:.1f} times what was stated."]
    if fit.scatter > _SCATTERED and fit.offered:
        told.append("That is far more than stated: brakes that drag, gusts, ground that changes, or a slope misread.")
    if abs(fit.worst[1]) > _FAR_OFF:
        told.append(f"Furthest off is a reading of run {fit.worst[0]!r}, by {abs(fit.worst[1]):.1f} times what was stated.")
    return told


def report(fit: Fit, before: Answer, after: Answer, *, on: str, reader: Reader = Reader.metric) -> str:
    """Coast-downs as a person reads them, with what they do to the line.

    Parameters
    ----------
    fit : Fit
        The fit.
    before, after : Answer
        The line as it was, and with what was found.
    on : str
        The table of the line whose rolling resistance it is.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = [reader.text(said("Coast-downs with {title}", title=before.complete.title)), "A model's numbers, not a permit.", ""]
    out += [*text.bullets(reader.texts(found(fit))), ""]
    if fit.offered:
        out += ["In the line file", *text.bullets(reader.texts([*_keys(fit, on), *_does(before, after)])), ""]
    out += ["Cautions", *text.bullets(CAUTIONS), ""]
    return "\n".join([*out, f"Ground {before.fingerprint}, model of {before.model_date}."]) + "\n"


def _keys(fit: Fit, on: str) -> list[Words]:
    """What to write into the line file."""
    value = fit.values["rolling_resistance"] / fit.surface_factor
    keys = [f"{on}.rolling_resistance = {value:.4f}"]
    if "drag_area" in fit.told:
        keys.append(f"rider.drag_area_m2 = {fit.values['drag_area']:.3f}")
    tyres = "" if fit.surface_factor == 1 else f" (the tyres' factor {fit.surface_factor:g} is taken out of it)"
    return [f"{'; '.join(keys)}{tyres}, for the ground and the tyres that rolled."]


def _does(before: Answer, after: Answer) -> list[Words]:
    """What that does to where to start."""
    was, now = (answer.jumps[0].run_in for answer in (before, after))
    if was is None or now is None:
        return ["The line's run-in was not measured: where to start is not known either way."]
    marks = [None if one.mark is None else said("{mark:length} before the foot of the lip", mark=one.mark) for one in (was, now)]
    if marks == [None, None]:
        return ["The run-in gives the aim neither with it nor without."]
    first, second = (mark or "nowhere on the run-in" for mark in marks)
    return [said("With it the start for the aim is {second}; it was {first}. Check the speed before any jump.", first=first, second=second)]
