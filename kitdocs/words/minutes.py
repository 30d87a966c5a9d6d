"""How long a builder needs: minutes of a step and of a stage, from what is done in them.

Our own estimate. A builder who does it for the first time takes several times as long as a
presenter who has everything ready (`narration/pauses.py`), and some minutes more for each step: to
read it, pick out its parts and see that it is right. What glue takes to set is its maker's to say,
and in none of the figures.
"""

from __future__ import annotations

from kitdocs.assembly.design import Design
from kitdocs.kit.stage import Stage, Step
from kitdocs.words.narration.pauses import hands

#: A builder's time for that of a presenter.
SLOWER = 5.0
#: Minutes of a step beside its actions.
READING = 3.0
_WHOLE = 5  # minutes that the time of a stage is rounded to


def step_minutes(design: Design, step: Step) -> int:
    """Minutes of a step, to the nearest whole one."""
    return round(_minutes(design, step))


def estimated_minutes(design: Design, stage: Stage) -> int:
    """Minutes of a stage's steps together, to the nearest five."""
    total = sum(_minutes(design, step) for step in stage.steps)
    return max(_WHOLE, _WHOLE * round(total / _WHOLE))


def stage_minutes(design: Design, stage: Stage) -> int:
    """Minutes of a stage: those that its page claims, or else the estimated ones."""
    return stage.front.minutes or estimated_minutes(design, stage)


def has_waits(stage: Stage) -> bool:
    """Whether something in it has to set."""
    return any(action.verb == "glue" for step in stage.steps for action in step.actions)


def _minutes(design: Design, step: Step) -> float:
    return READING + SLOWER * sum(hands(design, action) for action in step.actions) / 60
