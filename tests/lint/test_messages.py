from __future__ import annotations

from tests.messages import FILE, messages


def test_the_messages_are_those_that_were_read_aloud() -> None:
    """After a change of words: ``python -m tests.messages``, and read the difference."""
    assert messages() == FILE.read_text("utf-8")
