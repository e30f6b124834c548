"""The numbered list of sources: long ones are named once and cited by number, short ones stand where they are needed."""

from __future__ import annotations

from dataclasses import dataclass, field

SHORT = 60   # letters; up to here a source is printed in place


@dataclass
class SourceList:
    """Fills while the page is set, in the order in which sources are first cited."""

    entries: list[str] = field(default_factory=list)

    def cite(self, sources) -> list[tuple[str, int | None]]:
        """Each source as (text, None) where it is short, else as ('', its number in the list); no source twice."""
        cited = []
        for source in sources:
            text = " ".join(source.split())
            if not text:
                continue
            if len(text) <= SHORT:
                entry = (text, None)
            else:
                if text not in self.entries:
                    self.entries.append(text)
                entry = ("", self.entries.index(text) + 1)
            if entry not in cited:
                cited.append(entry)
        return cited
