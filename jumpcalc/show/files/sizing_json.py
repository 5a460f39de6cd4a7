"""What fits a site as JSON: SI, the line files as text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.guidance import guidance
from jumpcalc.plan.studies.sizing.propose import Proposal
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.studies.sizing.written import clean
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.numbers import Reader

__all__ = ["as_dict"]


def as_dict(now: Sized, lines: Sequence[str]) -> dict[str, Any]:
    """What fits, for a program: SI.

    Parameters
    ----------
    now : Sized
        From `sized`.
    lines : sequence of str
        The line file of each of its proposals.

    Returns
    -------
    dict
        For JSON.
    """
    site, none = now.site, now.none
    return {
        "title": site.title, "cautions": list(CAUTIONS), "tried": 0 if now.found is None else now.found.tried,
        "stopped_early": now.stopped,
        "proposals": [{**_jump_dict(one, site), "line_file": line} for one, line in zip(now.made, lines, strict=True)],
        "trade": [_jump_dict(one, site) for one in now.others],
        "nothing_fits": None if now.made else {
            "limit": None if none is None else none.limit, "exceeded_by": None if none is None else none.by,
            "not_today": None if none is None or none.today is None else Reader.metric.text(note(none.today)),
            "others": {} if none is None else dict(none.others),
            "cure": None if none is None or none.cure is None else {"limit": none.cure[0], "to": none.cure[1], "gap_m": none.found},
        },
    }  # fmt: skip


def _jump_dict(one: Proposal, site: Site) -> dict[str, Any]:
    jump = one.line.jumps[0]
    return {
        "size": one.size or None, "shape": jump.shape, "foot_from_first_stake_m": one.place,
        "landing_ends_from_first_stake_m": one.ends, "gap_m": jump.landing.gap,
        "drop_m": jump.landing.drop, "lip_angle_rad": jump.lip.angle, "lip_radius_m": one.radius, "lip_straight_m": one.straight,
        "edge_above_ground_m": one.stands,
        "landing_fall_rad": jump.landing.angle, "landing_length_m": jump.landing.length, "tolerance_mps": one.tolerance,
        "dirt_m3": one.dirt, "dirt_in_the_bank_m3": one.bank, "dirt_loose_m3": one.loose, "room_m": one.room,
        "guidance_not_met": [rule.code for rule in guidance(one.answers[0], 0) if rule.for_bikes and rule.keeps is False],
        "riders": [
            {
                "name": rider.name, "start_m": answer.jumps[0].run_in.marks[1],
                "foot_speed_mps": {"min": speeds.min, "aim": speeds.aim, "max": speeds.max}, "short_share": short, "long_share": long,
                "room_to_spare_m": answer.jumps[0].stop.margin,
            }
            for rider, answer, (short, long) in zip(site.riders, one.answers, one.chances, strict=True)
            for speeds in [clean(answer.jumps[0])]
        ],
    }  # fmt: skip
