"""The page of one entry: its fields with their problems beside them, and what follows from them."""

from __future__ import annotations

from functools import partial

from fieldbook.advice.review import Review
from fieldbook.errors import Problem
from fieldbook.records import FOLDERS, KINDS
from fieldbook.report.entry import problem_lines, verdict_lines
from fieldbook.report.values import each_text, say, spell
from fieldbook.text import beside, clean, wrap
from fieldbook.tui.fields import Field, unwritten, written
from fieldbook.tui.file_sheet import text_rows
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, rows_of, wrapped
from fieldbook.tui.sheet import Paper
from fieldbook.tui.value_sheet import ValueSheet

NAME_WIDTH = 22
NARROW = 16
"""Columns of the name of a field, on a narrow screen."""

CURE = "E opens the file in your editor; do there what stands above"


def entry_page(address: str, look: Look, paper: Paper) -> Page:
    """All of it; what cannot be right stands under the field it is about."""
    file = look.store.read(address)
    review = look.context.review(address) if file.record else None
    writer = _Writer(address, paper, look)
    if file.record is None or review is None:
        return writer.unreadable(list(file.problems), file.text)
    record = KINDS[FOLDERS[address.partition("/")[0]]]
    problems = [*file.problems, *review.problems]
    lines_of = file.record.lines_of
    if file.record.title:
        writer.rows.append(plain(f" {file.record.title}", "strong"))
    beside_field: set[Problem] = set()
    fields = list(written(record, file.data))
    for field in (field for field in fields if not field.is_log):
        about = [p for p in problems if p.line and p.line == lines_of.get(field.path)]
        beside_field |= set(about)
        writer.field(field, about)
    writer.loose([p for p in problems if p not in beside_field])
    writer.derived(review)
    log = [field for field in fields if field.is_log]
    writer.head("the log" if log else "")
    for field in log:
        writer.field(field, [])
    rest = list(unwritten(record, file.data))
    writer.head("not written" if rest else "")
    for field in rest:
        writer.field(field, [])
    return Page(address, tuple(writer.rows), tuple(writer.items))


class _Writer:
    """Puts rows and items together."""

    def __init__(self, address: str, paper: Paper, look: Look) -> None:
        self.address, self.look = address, look
        self.width = paper.width - 1
        self.name_width = NAME_WIDTH if paper.width >= 70 else NARROW
        self.rows: list[Row] = []
        self.items: list[Item] = []

    def head(self, text: str) -> None:
        if text:
            self.rows += [plain(""), plain(f" {text}", "head")]

    def pair(self, name: str, text: str, item: Item, style: str = "") -> None:
        number = len(self.items)
        self.items.append(item)
        head = "  " + beside(clean(name), self.name_width)
        lines = wrap(text, self.width, " " * (self.name_width + 3), head + " ")
        self.rows += rows_of(lines, style, number)

    def field(self, field: Field, problems: list[Problem]) -> None:
        key, hint = field.path or field.name, f"{field.name}: {field.help}"
        item = Item(key, self.address, field=field.path, typed=field.typed, hint=hint)
        self.pair(field.name, field.said or f"({field.help})", item)
        for problem in problems:
            self.rows += wrapped(f"! {problem.what}", self.width, "    ", "bad")
            self.rows += wrapped(problem.remedy, self.width, "      ")

    def loose(self, problems: list[Problem]) -> None:
        self.head("cannot be right" if problems else "")
        for problem in problems:
            self.rows += rows_of(problem_lines(problem, self.width))

    def derived(self, review: Review) -> None:
        look = self.look
        self.head("follows from it" if review.results else "")
        for result in review.results.values():
            opens = partial(ValueSheet, self.address, result.name)
            item = Item(f"= {result.name}", self.address, opens=opens)
            self.pair(spell(result.name), say(result, look.units, look.now), item)
            if len(result.each) > 1:
                text = each_text(result, look.units)
                self.rows += wrapped(text, self.width, " " * 6)
        for verdict in review.verdicts:
            self.rows += [plain(""), *rows_of(verdict_lines(verdict, self.width))]
        for caution in review.cautions:
            self.rows += [plain(""), *wrapped(f"! {caution}", self.width, "  ", "warn")]

    def unreadable(self, problems: list[Problem], text: str) -> Page:
        rows = [plain(f" {self.address} cannot be read", "bad")]
        for problem in problems:
            rows += rows_of(problem_lines(problem, self.width))
        rows += [plain(""), plain(" Its text stands below; E opens it in your editor.")]
        cure = f"{self.address} cannot be read, so its fields cannot be changed here: {CURE}"
        item = Item("unreadable", self.address, hint=cure)
        return Page(self.address, (*rows, *text_rows(text, self.width)), (item,))
