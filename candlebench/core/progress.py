"""How far the melt has come, what was undone, and whether the jug stands on the heat."""

from dataclasses import dataclass, replace

from candlebench.core.events import Action, ActionKind, Stage
from candlebench.core.state import StageMark
from candlebench.words import tr

# Long enough to wipe the hands and notice a slip; design.md asks for a minute.
UNDO_S = 60.0

_REACHES = {
    ActionKind.MELTED: Stage.MELTED,
    ActionKind.OFF_HEAT: Stage.OFF_HEAT,
    ActionKind.OIL_IN: Stage.OIL_IN,
    ActionKind.STIRRED: Stage.STIRRED,
    ActionKind.POURED: Stage.POURED,
}
_ORDER = list(Stage)


@dataclass(frozen=True, slots=True)
class Progress:
    """One position in the melt; each step makes a new one and remembers where it came from.

    `lifts` are the times it came off the heat and was put back on: they happened, but count no more.
    """

    stage: Stage
    stage_s: float
    on_heat: bool
    heat_since_s: float
    melted_s: float | None
    marks: tuple[StageMark, ...]
    at_s: float
    word: str = ""
    automatic: bool = False
    before: "Progress | None" = None
    lifts: tuple[StageMark, ...] = ()

    @classmethod
    def begun(cls, elapsed_s: float) -> "Progress":
        """A melt that stands on the heat and has just begun."""
        mark = StageMark(Stage.WARMING, elapsed_s, None, False)
        return cls(Stage.WARMING, elapsed_s, True, elapsed_s, None, (mark,), elapsed_s)

    def heated_from(self, at_s: float) -> "Progress":
        """The same position, on the heat since `at_s`: before the first reading or step nobody knows."""
        return replace(self, heat_since_s=at_s)

    def after(self, action: Action, temp_c: float | None) -> "Progress":
        """The position after an action; the same object when the action moves nothing."""
        if action.kind is ActionKind.ON_HEAT:
            return self._on_heat_again(action.elapsed_s)
        stage = _REACHES.get(action.kind)
        if stage is None:
            return self
        return self.reached(stage, action.elapsed_s, temp_c)

    def reached(
        self, stage: Stage, at_s: float, temp_c: float | None, noticed_s: float | None = None
    ) -> "Progress":
        """The position after `stage` was reached; `noticed_s` is when it was noticed by itself."""
        off_heat = stage is not Stage.MELTED
        if stage is Stage.OFF_HEAT and _ORDER.index(self.stage) > _ORDER.index(stage):
            # Warmed again with the oil in: only the heat is off, the stage stays.
            stage, marks = self.stage, self.marks
        else:
            mark = StageMark(stage, at_s, temp_c, noticed_s is not None)
            marks = (*(m for m in self.marks if m.stage is not stage), mark)
        moment_s = at_s if noticed_s is None else noticed_s
        heat_off_now = off_heat and self.on_heat
        return replace(
            self,
            stage=stage,
            stage_s=at_s,
            on_heat=self.on_heat and not off_heat,
            heat_since_s=at_s if heat_off_now else self.heat_since_s,
            melted_s=self.melted_s if self.melted_s is not None else at_s,
            marks=marks,
            at_s=moment_s,
            word=tr("off the heat") if heat_off_now and stage is self.stage else stage_word(stage),
            automatic=noticed_s is not None,
            before=self,
        )

    def undone(self, now_s: float) -> "Progress":
        """The position before the last step, when that is less than a minute ago."""
        return self.before if self.before is not None and self.can_undo(now_s) else self

    def can_undo(self, now_s: float) -> bool:
        return self.before is not None and now_s - self.at_s <= UNDO_S

    def _on_heat_again(self, at_s: float) -> "Progress":
        back = self.stage is Stage.OFF_HEAT
        lifted = tuple(m for m in self.marks if m.stage is Stage.OFF_HEAT) if back else ()
        return replace(
            self,
            lifts=(*self.lifts, *lifted),
            stage=Stage.MELTED if back else self.stage,
            stage_s=at_s if back else self.stage_s,
            on_heat=True,
            heat_since_s=at_s,
            melted_s=at_s if self.melted_s is not None else None,
            marks=tuple(m for m in self.marks if m.stage is not Stage.OFF_HEAT) if back else self.marks,
            at_s=at_s,
            word=tr("on the heat again"),
            automatic=False,
            before=self,
        )


def stage_word(stage: Stage) -> str:
    """The stage's name for people."""
    return {
        Stage.WARMING: tr("warming"),
        Stage.MELTED: tr("melted"),
        Stage.OFF_HEAT: tr("off the heat"),
        Stage.OIL_IN: tr("oil in"),
        Stage.STIRRED: tr("stirred"),
        Stage.POURED: tr("poured"),
    }[stage]
