"""The pack's page read back: its tables by section and caption, with nothing but the standard library."""

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class Table:
    """Cells as text, the header first."""

    section: str
    caption: str = ""
    rows: list[list[str]] = field(default_factory=list)

    @property
    def body(self) -> list[list[str]]:
        """Without the header."""
        return self.rows[1:]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.sections: dict[str, str] = {}
        self.tables: list[Table] = []
        self.section, self.inside = "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "section":
            self.section = dict(attrs)["id"] or ""
            self.sections[self.section] = ""
        elif tag == "table":
            self.tables.append(Table(self.section))
        elif tag == "tr":
            self.tables[-1].rows.append([])
        elif tag in ("td", "th"):
            self.tables[-1].rows[-1].append("")
            self.inside = "cell"
        elif tag == "caption":
            self.inside = "caption"
        elif tag in ("style", "script"):
            self.inside = "code"

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "caption", "style", "script"):
            self.inside = ""

    def handle_data(self, data: str) -> None:
        if self.inside == "code":
            return
        if self.section:
            self.sections[self.section] += data
        if self.inside == "cell":
            self.tables[-1].rows[-1][-1] += data
        elif self.inside == "caption":
            self.tables[-1].caption += data


@dataclass(frozen=True)
class Parsed:
    """Text of each section, and all tables."""

    sections: dict[str, str]
    tables: tuple[Table, ...]

    def table(self, section: str, caption: str = "") -> Table:
        """The only one there of that caption."""
        found = [t for t in self.tables if t.section == section and caption in t.caption]
        assert len(found) == 1, (section, caption, [t.caption for t in found])
        return found[0]


def parsed(html: str) -> Parsed:
    """The page."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return Parsed(reader.sections, tuple(reader.tables))
