"""Reads an HTML page back: tags, ids, links, tables and words; tags must nest."""

import re
from collections import Counter
from html.parser import HTMLParser

VOID = {"meta", "br", "img", "link", "input", "hr"}


class Reader(HTMLParser):
    """Tags, ids, links and visible text of a page; fails on tags that do not nest."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.ids: Counter[str] = Counter()
        self.links: list[str] = []
        self.levels: list[int] = []
        self.tables: list[Counter[str]] = []
        self.values: list[str] = []
        self.words: list[str] = []
        self._open: list[str] = []
        self.feed(page)
        assert self._open == []
        self.text = re.sub(r"\s+", " ", " ".join(self.words))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = dict(attrs)
        self.tags[tag] += 1
        self.ids.update([known["id"]] if known.get("id") else [])
        self.links += [value for key, value in attrs if key in ("href", "src") and value]
        self.values += [known["value"] or ""] if tag == "data" else []
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag == "table":
            self.tables.append(Counter())
        elif self.tables:
            self.tables[-1][tag] += 1
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: object) -> None:  # noqa: ARG002
        self.tags[tag] += 1

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self._open:
            self.words.append(data)
