"""What comes in: a body as text, as strict JSON, as a design. Every refusal is a `Problem` or an error of the kit."""

from __future__ import annotations

import json
import math
import re
from typing import Any, NoReturn

from flask import request

from rigfeed.design.file import located, migrated, parse
from rigfeed.design.model import Design
from rigfeed.design.schema import from_plain
from rigfeed.errors import DesignError, InputError, Place
from rigfeed.path import Path
from rigfeed_api.problems import Problem

JSON, TOML = "application/json", "application/toml"
LONGEST_NUMBER = 60  # digits of a whole number
DEEPEST = 64  # of a JSON body, above whatever a design or a list of edits can use

MAY_BE_HALF = re.compile(r"\\u[dD][89a-fA-F]")  # an escape that means a character only as one of two


def text_body(most_bytes: int, *media_types: str) -> str:
    """The body as text, if it is of one of these media types.

    Raises
    ------
    Problem
        413 if it is larger, 415 if it is something else, 400 if it is not UTF-8.
    """
    if request.mimetype not in media_types or request.headers.get("Content-Encoding", "identity") != "identity":
        what = "the body must be " + " or ".join(media_types) + ", not compressed"
        raise Problem(415, what, headers={"Accept": ", ".join(media_types)})
    request.max_content_length = most_bytes
    if (request.content_length or 0) > most_bytes:
        raise Problem(413, f"the body is {request.content_length} bytes; at most {most_bytes} are read here")
    try:
        return request.get_data(cache=False).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Problem(400, f"the body is not UTF-8 text (byte {error.start})") from None


def json_body(most_bytes: int) -> Any:
    """The body as JSON (RFC 8259): no key twice, no NaN, at most `DEEPEST` levels; raises as `text_body` does."""
    return strict_json(text_body(most_bytes, JSON))


def strict_json(text: str) -> Any:
    """A text as JSON; raises a 400 with line and column."""
    try:
        data = json.loads(
            text, object_pairs_hook=_once, parse_constant=_no_constant, parse_int=_whole, parse_float=_finite
        )
    except json.JSONDecodeError as error:
        place = Place(line=error.lineno, column=error.colno)
        raise _not_json(InputError(f"is not JSON: {error.msg}", place=place)) from None
    except RecursionError:
        raise _not_json(InputError("is nested too deeply")) from None
    except ValueError as error:  # a key twice, a constant, a number of thousands of digits
        raise _not_json(InputError(f"is not JSON: {error}"[:200])) from None
    if _depth(data) > DEEPEST:
        raise _not_json(InputError("is nested too deeply"))
    if MAY_BE_HALF.search(text) and not _whole_characters(data):
        raise _not_json(InputError("holds half of a surrogate pair, which is no character"))
    return data


def _not_json(error: InputError) -> Problem:
    return Problem(400, f"the body {error.what}", errors=[error])


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise ValueError(f"the key {twice[:60]!r} stands twice in one object")
    return table


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number of JSON")


def _whole_characters(data: Any) -> bool:
    try:
        json.dumps(data, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise Problem(422, f"a number in the body has {len(digits)} digits; no quantity here needs so many")
    return int(digits)


def _finite(digits: str) -> float:
    number = float(digits)
    if not math.isfinite(number):
        raise Problem(422, f"a number in the body, {digits[:40]}, is larger than what can be computed with")
    return number


def _depth(data: Any) -> int:
    """Levels of lists and objects, without recursion."""
    depth, level = 0, [data]
    while level := [inner for item in level for inner in _inside(item)]:
        depth += 1
        if depth > DEEPEST:
            break
    return depth


def _inside(item: Any) -> list[Any]:
    if isinstance(item, dict):
        return list(item.values())
    return item if isinstance(item, list) else []


def design_body(most_bytes: int) -> Design:
    """The design in the body, TOML as in a file or the same data as JSON.

    Raises
    ------
    Problem
        As `text_body`, and 400 if it is no JSON at all.
    DesignError, UnknownName, InputErrors
        What is wrong with the design.
    """
    text = text_body(most_bytes, JSON, TOML)
    return design_of_text(text, request.mimetype)


def design_of_text(text: str, media_type: str) -> Design:
    """The design in a text of either media type; raises as `design_body` does."""
    return parse(text) if media_type == TOML else design_of_plain(strict_json(text))


def design_of_plain(data: Any, path: Path | None = None) -> Design:
    """The design of plain data, as JSON holds it; `path` is where in the body it stands.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        What is wrong with it.
    """
    if not isinstance(data, dict):
        raise DesignError("is not an object", place=Place(path=path or Path()), remedy="send the tables of a design")
    return from_plain(migrated(data))


def at_lines(error: InputError, text: str) -> InputError:
    """An error about a design that came as TOML, with its lines."""
    return located(error, text, None)
