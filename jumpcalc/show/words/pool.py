"""What many logs say of the model, in words."""

from __future__ import annotations

import math

from jumpcalc.plan.studies.field.pool import SEVERAL, Pool, Together
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, said

__all__ = ["pooled", "report"]

_MOST = math.log(1e6)
_CLEAR = 3.0  # of the logarithm: twenty times likelier


def pooled(found: Pool) -> list[Words]:
    """What many logs say together.

    Parameters
    ----------
    found : Pool
        From `pool`.

    Returns
    -------
    list of Said
        Sentences.
    """
    if not found.logs:
        return ["No log here has tries enough to say anything."]
    count, tries = len(found.logs), sum(one.tries for one in found.logs)
    several = "" if count == 1 else "s"
    told: list[Words] = [said(f"{{logs:count}} log{several} with {{tries:count}} tries looked at.", logs=count, tries=tries)]
    if count < SEVERAL:
        told.append(f"To tell whether the bike's path or the textbook point's is the better one takes {SEVERAL} logs or more.")
    elif abs(found.for_bike) < _CLEAR:
        told.append("They do not tell whether the bike's path or the textbook point's is the better one.")
    else:
        better, worse = ("the bike's path", "the point's") if found.for_bike > 0 else ("the textbook point's path", "the bike's")
        times = math.exp(min(abs(found.for_bike), _MOST))
        much = "more than a million times" if abs(found.for_bike) > _MOST else f"about {float(f'{times:.1g}'):,.0f} times"
        told.append(f"They speak for {better} against {worse}: what was seen is {much} likelier with it.")
    if found.spring is not None:
        told.append(
            said(
                "Riders add {mean:speed signed} across the lip on the mean, give or take {sd:speed}; from try to try they differ by "
                "± {scatter:speed}. {differ:sentence}",
                mean=found.spring.mean, sd=NINETY * found.spring.mean_sd, scatter=NINETY * found.spring_scatter,
                differ=_differ("riders", "speed", found.spring),
            )
        )  # fmt: skip
    for ground, value in found.rolling:
        told.append(
            said(
                f"Rolling resistance on {ground}, from {value.count} log{'' if value.count == 1 else 's'}: {value.mean:.3f}, give or take "
                f"{NINETY * value.mean_sd:.3f}. {{differ:sentence}}",
                differ=_differ("places", "", value),
            )
        )
    told.append(
        said(
            "Intervals meant to hold 9 of 10 tries held {held:count} of {checked:count}, {share:share}.",
            held=found.held, checked=found.checked, share=found.held / max(found.checked, 1),
        )
    )  # fmt: skip
    return told


def _differ(what: str, kind: str, value: Together) -> Words:
    """How far single ones differ, or that it takes more logs to say."""
    if value.differ is None:
        return f"to say how far {what} differ takes {SEVERAL} logs or more"
    by = NINETY * value.differ
    return said("{what} differ by ± {by:speed}", what=what, by=by) if kind else f"{what} differ by ± {by:.3f}"


def report(found: Pool, reader: Reader) -> str:
    """What many logs say together, as a page of text.

    Parameters
    ----------
    found : Pool
        From `pool`.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text.
    """
    out = ["What these logs say together", *text.bullets(reader.texts(pooled(found))), ""]
    if found.left:
        out += ["Left out", *text.bullets(f"file {number + 1}: {why}" for number, why in found.left), ""]
    out += ["± and give or take hold 9 of 10. A model's numbers, not a permit.", "", "Cautions", *text.bullets(CAUTIONS)]
    return "\n".join(out) + "\n"
