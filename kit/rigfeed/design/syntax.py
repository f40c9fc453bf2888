"""What the TOML reader says about a broken text, in words for whoever wrote the text."""

from __future__ import annotations

import ast
import re

from rigfeed.path import Path

TWICE = "ids and keys must be unique: rename or remove one"
QUOTES = 'a text stands between two " on one line'
SLASH = r"write \\ for one \, or put the text between ' and '"
WRITTEN = 'write key = value; a text in quotes, a list in [ ], a table in { }'

_KEYS = r"(?P<keys>\(.*\)) "
_TOLD: tuple[tuple[str, str, str], ...] = (
    (r"Cannot declare " + _KEYS + "twice", "[{}] stands twice", TWICE),
    (r"Cannot redefine namespace " + _KEYS.strip(), "{} stands twice", TWICE),
    (
        r"Cannot mutate immutable namespace " + _KEYS.strip(),
        "{} is complete where it stands first, and goes on here", TWICE,
    ),
    (r"Duplicate inline table key (?P<word>.*)", "{} stands twice", TWICE),
    (r"Cannot overwrite a value", "the same key stands twice", TWICE),
    (r"Unterminated string", "a text has no closing quote", QUOTES),
    (r"Illegal character '\\n'|Expected \"'\"", "a text has no closing quote on its line", QUOTES),
    (r"Illegal character (?P<word>.*)", "the character {} cannot stand here", "remove it"),
    (r"Expected '=' after a key.*", "'=' is missing after a key", WRITTEN),
    (r"Unclosed array", "a list is not closed, or a comma in it is missing", "close it with ], part by commas"),
    (r"Unclosed inline table", "a table is not closed, or a comma in it is missing", "close it with }, part by commas"),
    (r"Expected '\]+' at the end of.*", "a [ has no matching ]", "a header is written [nodes.F1]"),
    (
        r"Expected newline or end of document after a statement",
        "something stands behind a value", "one key to a line; remarks begin with #",
    ),
    (r"Unescaped '\\' in a string", "a \\ stands in a text", SLASH),
    (r"Invalid hex value|Escaped character is not.*", "a \\ in a text is followed by no character code", SLASH),
    (r"Invalid initial character for a key part", "a key begins with a character that no key may have", WRITTEN),
    (r"Invalid date or datetime", "a date that is not in the calendar", "write it like 2026-05-31"),
    (r"Invalid value", "a key has no value, or one of no known form", WRITTEN),
    (r"Invalid statement", "a line is neither a key, nor a [header], nor a # remark", WRITTEN),
    (r"Found invalid character (?P<word>.*)", "the character {} cannot stand here", "remove it"),
    (r"Exceeds the limit.*", "a number has thousands of digits", "write a shorter one"),
)
TOLD = tuple((re.compile(pattern, re.DOTALL), what, remedy) for pattern, what, remedy in _TOLD)


def in_our_words(said: str) -> tuple[str, str]:
    """What is wrong and what to do, for the message of the reader of the standard library."""
    for pattern, what, remedy in TOLD:
        if match := pattern.fullmatch(said):
            return f"is not valid TOML: {what.format(_subject(match))}", remedy
    return f"is not valid TOML: {said[:1].lower()}{said[1:]}", WRITTEN


def _subject(match: re.Match[str]) -> str:
    found = match.groupdict()
    try:
        if found.get("keys"):
            return str(Path.of(ast.literal_eval(found["keys"])))
    except (ValueError, SyntaxError):
        return found["keys"]
    return str(found.get("word") or "")[:60]
