"""The observation line: from what was typed to what the notebook keeps.

A line is read from the left, clause by clause; commas and semicolons part clauses. A time may stand
first or last. Phrases that are understood become fields; from the first word of a clause that is
not, the clause becomes the note, as typed. What could be meant in two ways is asked, not guessed.
Where another brick, another place or a time begins, there begins another observation (`part.py`).
"""

from collections.abc import Callable, Collection, Iterable
from datetime import datetime, tzinfo

from fieldbook.errors import Unreadable, WrongUse
from fieldbook.lines import limits, phrases
from fieldbook.lines.doubting import Doubts
from fieldbook.lines.fields import fields_of
from fieldbook.lines.part import READINGS, Observation, Part
from fieldbook.lines.pattern import pattern
from fieldbook.lines.phrase import Phrase, Reader
from fieldbook.lines.read_back import without_time, words_for
from fieldbook.lines.scan import Scan, small
from fieldbook.lines.times import TypedTime, read_time
from fieldbook.lines.vocabulary import BENIGN, DOUBTFUL

__all__ = ("LONGEST", "Observation", "cleaned", "read_line")
LONGEST = 2000
"""Letters that one observation may have."""


def read_line(
    text: str,
    kind: str,
    now: datetime,
    *,
    places: Iterable[str] = (),
    bricks: Collection[str] = (),
    measures: Iterable[str] = (),
    zone: tzinfo | str | None = None,
    action: str = "",
    bricks_there: int | None = None,
    usual_place: Callable[[], str] | None = None,
    record: limits.Record | None = None,
) -> Observation:
    """Read what was typed about an entry of `kind`.

    `now` is aware; clock times are those of `zone`, or of `now` where none is given. `places`,
    `bricks` and `measures` are names known in the notebook, as a mapping `bricks` with what is
    known of each and `places` with whether the kiln names it; `bricks_there` is how many there are
    of all; `usual_place` tells what a reading without a place is taken for, and `record` what the
    entry and its log say; `action` is the rule whose action is in view, which `not now` declines. A
    line that ends in `!` is kept even where a figure cannot be right.
    """
    text = cleaned(text)
    clock = _zone(zone, now)
    scan = Scan(text, fields_of(kind, "log"), places, bricks, measures)
    scan.record = record
    doubts = Doubts(kind, bricks, places, bricks_there, record)
    line = _Line(scan, kind, now, clock, doubts, usual_place)
    line.begin_with_time()
    if not line.declined(action):
        line.read()
    return line.observation()


def _zone(zone: tzinfo | str | None, now: datetime) -> tzinfo:
    if isinstance(zone, str):
        from zoneinfo import ZoneInfo

        return ZoneInfo(zone)
    if zone is None and now.tzinfo is None:
        raise ValueError("now has no offset")
    return zone or now.tzinfo  # type: ignore[return-value]


def cleaned(text: str) -> str:
    """Give the text on one line, without control characters; refuse what no file can hold."""
    if len(text) > LONGEST:
        raise WrongUse(
            f"an observation has at most {LONGEST} letters, this has {len(text)}. "
            "Write it in several lines, or put the story into the entry's note."
        )
    if not text.isprintable():
        text = "".join(_clean_letter(letter) for letter in text)
    text = text.strip(" \ufeff")
    if not text:
        raise WrongUse("nothing was observed. Write what was seen, such as 14:10 1040F top.")
    return text


def _clean_letter(letter: str) -> str:
    if letter.isspace() or letter < " " or "\x7f" <= letter <= "\x9f":
        return " "
    if "\ud800" <= letter <= "\udfff":
        raise Unreadable("the line is not UTF-8", "Set the terminal to UTF-8 and type it again.")
    return letter


_CLAUSE_END = pattern(r";|,(?![0-9])|(?<![0-9]),")
_NOT_NOW = pattern(r"not now(?P<rule>(?:\s+[a-z0-9_-]+){0,4}?)\s*(?:[:,]|because\b|$)")
_READ = ("firing", "batch", "test")
"""What readings are taken of, in numbers."""
_A_TIME = Phrase({})
"""What a time within the line is taken for."""


class _Line:
    """One line while it is read."""

    def __init__(
        self,
        scan: Scan,
        kind: str,
        now: datetime,
        zone: tzinfo,
        doubts: Doubts,
        usual_place: Callable[[], str] | None,
    ) -> None:
        self.scan, self.kind, self.now, self.zone = scan, kind, now, zone
        self.doubts, self.usual_place = doubts, usual_place
        self.readers = _readers(kind)
        self.part = Part()
        self.parts = [self.part]
        self.added: set[str] = set()
        self.time: TypedTime | None = None
        self.questions: list[str] = []

    def begin_with_time(self) -> None:
        """Pass a time at the start."""
        self._take_time()
        rest = self.scan.low[self.scan.pos :]
        # "14:10: 1040F" and "14:10 - 1040F" part the time from the rest.
        if self.time and rest[:1] in (":", ","):
            self.scan.pos += 1
        elif self.time and rest.startswith((" - ", " – ")):
            self.scan.pos += 3

    def _take_time(self) -> bool:
        """Pass a time, the only one of the line, or of a later part of it."""
        self.scan.skip()
        time = read_time(self.scan.low, self.scan.pos, self.now, self.zone)
        if time is None:
            return False
        if self.time is None:
            self.time = time
        elif self.part is not self.parts[0] and self.part.time is None:
            self.part.time = time
        else:
            self._ask("There are two times here. Write the second in a line of its own.")
            return False
        self.scan.pos = time.end
        return True

    def declined(self, action: str) -> bool:
        """Read `not now: because`; False where the line is none."""
        self.scan.skip()
        match = _NOT_NOW.match(self.scan.low, self.scan.pos)
        if not match:
            return False
        rule = match.group("rule").strip().replace(" ", "_") or action
        because = self.scan.text[match.end() :].strip()
        log = self.part.found["log"]
        if rule:
            log["declined"] = rule
        if because:
            log["because"] = because
        else:
            self.questions.append("Why not now? Write it after a colon: not now: wood is wet.")
        if not rule:
            self.questions.append("Not what? Write the action: not now hold: wood is wet.")
        self.scan.pos = self.scan.end
        return True

    def read(self) -> None:
        """Read all clauses."""
        scan, whole = self.scan, len(self.scan.text)
        ends = [match.start() for match in _CLAUSE_END.finditer(scan.text, scan.pos)]
        for end in [*ends, whole]:
            scan.end = end
            if self._read_clause(whole):
                return
            scan.pos = end + 1

    def _read_clause(self, whole: int) -> bool:
        """Read one clause; True where a note that runs to the end of the line was begun in it."""
        scan = self.scan
        last: tuple[int, Phrase] | None = None
        self._begin_at_a_time()
        while scan.skip() and scan.low[scan.pos : scan.end].strip(" .!"):
            begun = scan.pos
            if last and last[1].fields.keys() == {"place"} and scan.sign(":"):
                continue  # "bottom: 395C" parts the place from what was read there.
            if scan.sign(":") or (scan.take("note") and scan.sign(":")):
                self._note(scan.pos, whole)
                return True
            scan.pos = begun
            scan.take("and", "&")
            phrase = self._phrase()
            if phrase is None and scan.pos == begun and self._take_time():
                phrase = _A_TIME
            if phrase is None:
                self._not_understood(begun, last)
                return False
            last = (begun, phrase)
        return False

    def _begin_at_a_time(self) -> None:
        """After something was seen, a time with more behind it begins another part."""
        scan, begun = self.scan, self.scan.pos
        if not self.part.is_filled:
            return
        scan.skip()
        time = read_time(scan.low, scan.pos, self.now, self.zone)
        if time and scan.low[time.end : scan.end].strip(" .!"):
            self._begin_another(Part(time, scan.pos))
            scan.pos = time.end
        else:
            scan.pos = begun

    def _begin_another(self, part: Part) -> None:
        self.part = part
        self.parts.append(part)

    def _phrase(self) -> Phrase | None:
        """Read one phrase and keep what it says; None where nothing is understood."""
        scan, begun, asks = self.scan, self.scan.pos, ""
        scan.placed = self.part.waits_for_reading
        for reader in self.readers:
            scan.pos, scan.asks = begun, ""
            phrase = reader(scan)
            if phrase and scan.pos > begun and self._keeps(phrase):
                self._ask(scan.asks)
                if phrase.fields.keys() == {"place"}:
                    self.part.lone_place = (begun, scan.pos)
                if phrase.is_noted:
                    self._note(begun, scan.pos)
                return phrase
            asks = asks or scan.asks
        scan.pos = begun
        self._ask(asks)
        return None

    def _keeps(self, phrase: Phrase) -> bool:
        """Add what a phrase says to what was found; False where it has no place there."""
        if not phrase.fields.keys() <= fields_of(self.kind, phrase.table).keys():
            return False
        if self.part.is_another(phrase):
            self._begin_another(Part(self.part.time, self.scan.pos))
        elif phrase.fields.keys() == {"place"} and "place" in self.part.found["log"]:
            return False
        self.added = phrase.fields.keys() - self.part.found.get(phrase.table, {}).keys()
        question = self.part.keep(phrase)
        self._ask(question)
        return not question

    def _ask(self, question: str) -> None:
        if question and question not in self.questions:
            self.questions.append(question)

    def _ask_all(self, questions: Iterable[str]) -> None:
        for question in questions:
            self._ask(question)

    def _note(self, start: int, end: int) -> None:
        if self.scan.text[start:end].strip(" ,;"):
            self.part.notes.append((start, end))

    def _not_understood(self, begun: int, last: tuple[int, Phrase] | None) -> None:
        """Make the rest of the clause the note, with the word before it that it may speak of."""
        rest = self.scan.low[begun : self.scan.end]
        self._ask_about_numbers(begun)
        if last and last[1] is _A_TIME:
            begun = last[0]
            if self.part.time:
                self.part.time = None
            else:
                self.time = None
        elif last and last[1].is_bare:
            begun = last[0]
            if not _is_benign(rest):
                for field in self.added:
                    del self.part.found[last[1].table][field]
        self._note(begun, self.scan.end)
        self.scan.pos = self.scan.end

    def _ask_about_numbers(self, begun: int) -> None:
        """Ask about a number where a reading would stand, in what is not understood."""
        scan = self.scan
        rest = scan.low[begun : scan.end]
        if scan.insists or self.questions or rest.isalpha() or self.kind not in _READ:
            return
        if any(letter.isdigit() for letter in rest):
            from fieldbook.lines.unread import question

            self._ask(question(scan, begun, self.kind, self.readers))

    def observation(self) -> Observation:
        """Give what was found: the first part, and with it the others."""
        if self.time:
            self._ask(self.time.question)
        for part in self.parts:
            part.settle_place()
        observed: list[Observation] = []
        for part in self._parts_with_something():
            if observed:
                self.doubts.after(observed[-1])
            observed.append(self._observed(part))
        if not self.scan.insists:
            self._ask_all(self.doubts.of_counts(observed))
        first, *more = observed
        words = "; ".join([first.words, *(each.words for each in more)])
        return first._replace(more=tuple(more), words=words, questions=tuple(self.questions))

    def _parts_with_something(self) -> list[Part]:
        """The first part, and each other that holds more than words; its words go to the former."""
        kept = self.parts[:1]
        for part in self.parts[1:]:
            if not part.is_filled:
                kept[-1].add_words_of(part)
            elif not kept[-1].takes(part):
                kept.append(part)
        return kept

    def _observed(self, part: Part) -> Observation:
        """Give one part as the observation it is."""
        time = part.time or self.time
        at = time.at if time else self.now.astimezone(self.zone)
        if part.time:
            self._ask(part.time.question)
        tables = [table for table, fields in part.found.items() if fields and table != "log"]
        target = tables[0] if tables else "log"
        fields = part.found[target]
        also = part.found["log"] if target != "log" else {}
        note = part.note(self.scan.text)
        if not fields and note is None and not self.questions:
            self._ask("What was seen then?")
        name = part.name if target == "specimens" else ""
        if not self.scan.insists:
            self._ask_all(self.doubts.of(fields | also, name, at))
        seen = words_for(at, fields | also, note, name, self.now)
        words = (seen if self._tells_time(part) else without_time(seen)) + self._place_taken(part)
        return Observation(at, fields, target, note, words, (), name, also)

    def _tells_time(self, part: Part) -> bool:
        return part is self.parts[0] or part.time is not None

    def _place_taken(self, part: Part) -> str:
        """Say what a reading without a place is taken for, where there are several places."""
        log = part.found["log"]
        if self.usual_place is None or "place" in log or log.get("probe") in ("wall", "flue"):
            return ""
        if log.keys().isdisjoint(READINGS):
            return ""
        place = self.usual_place()
        return f" (no place named: taken for {place})" if place else ""


def _readers(kind: str) -> tuple[Reader, ...]:
    if kind != "test":
        return phrases.READERS[kind]
    from fieldbook.lines import specimens

    return specimens.READERS


def _is_benign(rest: str) -> bool:
    words = small(rest).replace(",", " ").split()
    if not words or not DOUBTFUL.isdisjoint(words):
        return False
    return words[0] in BENIGN or words[0][0].isdigit()
