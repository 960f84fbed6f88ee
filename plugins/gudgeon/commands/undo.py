"""Taking back what one run of a command wrote: file by file as it was before, and only while nobody changed it since."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from gudgeon.commands.options import desk_of
from gudgeon.entry.line import Entered
from gudgeon.entry.sizes import NotClear

if TYPE_CHECKING:
    from gudgeon.project.project import Project
    from gudgeon.project.writing import Desk


@dataclass
class _Step:
    """One line as it was written: what its files held before, and what they held then."""

    entered: Entered
    before: dict[str, str | None]
    after: dict[str, bytes | None]


@dataclass
class Written:
    """What this run wrote, line by line."""

    steps: list[_Step] = field(default_factory=list)

    def note(self, desk: "Desk", before: dict[str, str | None], entered: Entered) -> None:
        """Keep what a line changed. before: file from the project's root -> its text, None where there was none."""
        self.steps.append(_Step(entered, before, {name: desk.note(name) for name in before}))

    def undo(self, project: "Project") -> tuple[Entered | None, str]:
        """Take the last line back: gives the line before it, and what to tell. Raises NotClear where that cannot be."""
        if not self.steps:
            raise NotClear("this run has written nothing that could be taken back.")
        step = self.steps[-1]
        with desk_of(project) as desk:
            changed = [name for name, content in step.after.items() if desk.note(name) != content]
            if changed:
                raise NotClear(f"{', '.join(changed)} was changed since, and is left as it is.")
            texts = {name: text for name, text in step.before.items() if text is not None}
            desk.write(texts, [name for name in step.before if name not in texts])
        self.steps.pop()
        row = step.entered.row
        before = self.steps[-1].entered if self.steps else None
        return before, f"Taken back: row {row['id']} of {row['of']}, {step.entered.text('reads')}."
