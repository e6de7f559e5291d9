"""What a line of a page can be: one table of kinds, and the record in which a line travels with its kind.

Every line that is no string row gets one kind, once, in the light of where it stands. Facts about the page
come from the lines whose kind carries them and from no others.
"""

from __future__ import annotations

from tabtools.account import DECORATION, FACT, MARK, UNKNOWN, WORDS
from tabtools.record import NamedTuple
from tabtools.text.page.clean import Line

# Where a line stands: before all systems, right above or right below one, between two, behind the last.
TOP, ABOVE, BELOW, BETWEEN, END = "top", "above", "below", "between", "end"


class Kind(NamedTuple):
    """Who owns the characters of such a line (`tabtools.account`), and what it is, for `tabtools explain`."""

    owner: str
    says: str


KINDS = {
    "title": Kind(FACT, "the first words of a page: its title"),
    "header": Kind(FACT, "says tuning, capo, key, metre, tempo, instrument, title or author"),
    "legend": Kind(FACT, "says which letter or sign its writer uses for which technique"),
    "section": Kind(FACT, "names what begins here: [Verse], Riff 1:, ** Solo **"),
    "part": Kind(FACT, "says whose part begins here: Gtr 2, Bass"),
    "piece": Kind(FACT, "begins a piece of its own: Lick 2, Exercise 5"),
    "times": Kind(FACT, "says how often something is played: x2, play 3 times"),
    "chords": Kind(FACT, "chord symbols over their notes"),
    "counts": Kind(FACT, "the beats counted under or over the notes: 1 & 2 &"),
    "letters": Kind(FACT, "lengths of notes by their letters: q e e h"),
    "tuplets": Kind(FACT, "brackets over notes that share a beat: |-3-|"),
    "fingers": Kind(FACT, "the fretting fingers of the notes over it"),
    "endings": Kind(FACT, "the numbers of first and second endings"),
    "marks": Kind(MARK, "techniques over or under the strings: PM---|, let ring, H P"),
    "amounts": Kind(MARK, "how far the bends under it go: full, 1/2"),
    "strokes": Kind(WORDS, "strokes of the pick or fingers of the picking hand: d u d u, p i m a"),
    "direction": Kind(FACT, "says over a system how to play it: Slowly, 90 bpm"),
    "words": Kind(WORDS, "a remark over the notes; the score keeps it at its place"),
    "lyrics": Kind(WORDS, "words under the strings, sung or said; kept on the page, not in the score"),
    "prose": Kind(WORDS, "sentences away from the strings; kept on the page, not in the score"),
    "furniture": Kind(DECORATION, "what a mailer, a forum or a markup language puts around a page"),
    "decoration": Kind(DECORATION, "rules, frames and other lines without a letter or digit"),
    "unknown": Kind(UNKNOWN, "nothing that is known: reported as unread-text"),
}


class Token(NamedTuple):
    """A word of a line with its columns."""

    text: str
    start: int
    end: int


class Fact(NamedTuple):
    """Something that a line says about the page or about what follows, in its columns ``start`` to ``end``.

    ``how`` is ``field`` behind its own name as in ``Key: G``, ``item`` alone between commas or brackets, and
    ``words`` inside a sentence. ``unread`` is what stands with it and was not understood.
    """

    name: str
    value: object
    start: int
    end: int
    how: str = "field"
    unread: str = ""


class ReadLine(NamedTuple):
    """A line that is no string row: its kind, a key of `KINDS`, its words, and the facts that it carries."""

    kind: str
    line: Line
    tokens: tuple[Token, ...] = ()
    facts: tuple[Fact, ...] = ()

    @property
    def number(self) -> int:
        """The number of the line in the file, from 1."""
        return self.line.number

    @property
    def text(self) -> str:
        """The clean text of the line."""
        return self.line.text

    def indented(self, width: int) -> ReadLine:
        """The line with so many blanks before it that the source does not have."""
        tokens = tuple(Token(text, start + width, end + width) for text, start, end in self.tokens)
        facts = tuple(fact._replace(start=fact.start + width, end=fact.end + width) for fact in self.facts)
        return ReadLine(self.kind, self.line.indented(width), tokens, facts)

    def fact(self, name: str) -> object:
        """The value of the first fact of that name; None where the line says none."""
        return next((fact.value for fact in self.facts if fact.name == name), None)
