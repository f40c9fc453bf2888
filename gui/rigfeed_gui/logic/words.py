"""The one catalogue of what the window says. Nothing in the window writes a sentence anywhere else.

A text is a template over named values; ``say("undo.of", what="length of W1")`` fills it in.
"""

from __future__ import annotations

from collections.abc import Mapping

from rigfeed_gui.logic.words_views import VIEWS

LOGIC: Mapping[str, str] = {
    "command.undo": "Undo",
    "command.redo": "Redo",
    "did.recover": "what was not saved before the program ended",
    "did.read-again": "the file as another program left it",
    "work.untitled": "new design",
}

WORDS: Mapping[str, str] = {**LOGIC, **VIEWS}


def say(key: str, **values: object) -> str:
    """The text of a key with its values filled in.

    Raises
    ------
    KeyError
        If the catalogue has no such key, or the text names a value that is not given: a fault of the window.

    >>> say("command.undo")
    'Undo'
    """
    return WORDS[key].format(**values)
