"""What style sheets of an SVG say of an element, as far as it concerns its lines.

Selectors of types, classes and ids, alone or one below another, are followed
(CSS 2.2, sections 5 and 6.4). Where another kind of selector would hide or move
something, the drawing is refused: leaving it out would be guessing.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from lxml import etree

LENGTHS = frozenset(("x", "y", "cx", "cy", "r", "rx", "ry", "width", "height"))
"""Properties of style that are attributes of shapes as well (SVG 2, section 7.2)."""
CONCERNS = LENGTHS | {
    "d",
    "display",
    "opacity",
    "overflow",
    "rotate",
    "scale",
    "transform",
    "translate",
    "visibility",
    "zoom",
}
MOST_MATCHES = 300_000

_COMMENT = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_STATEMENT = re.compile(r"\s*@(?:charset|import|namespace)[^;{}]*;", re.IGNORECASE)
_COMPOUND = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")
_WAITING = re.compile(r":(?:hover|active|focus|visited|focus-within|focus-visible)\b")

Declarations = dict[str, tuple[str, bool]]
"""Values by property, each with whether it is important."""


@dataclass(frozen=True, slots=True)
class _Compound:
    """One element of a selector; empty where anything will do."""

    tag: str
    classes: frozenset[str]
    ids: frozenset[str]

    def fits(self, element: etree._Element) -> bool:
        return (
            (not self.tag or etree.QName(element).localname == self.tag)
            and self.classes <= frozenset((element.get("class") or "").split())
            and all(element.get("id") == each for each in self.ids)
        )


_NOWHERE = _Compound("", frozenset(), frozenset({""}))
"""Fits no element."""


@dataclass(frozen=True, slots=True)
class _Rule:
    """A selector, innermost element last, with what lies between, and what it declares."""

    chain: tuple[_Compound, ...]
    direct: tuple[bool, ...]
    declared: Declarations

    @property
    def weight(self) -> tuple[int, int, int]:
        """Specificity (CSS 2.2, section 6.4.3)."""
        return (
            sum(len(each.ids) for each in self.chain),
            sum(len(each.classes) for each in self.chain),
            sum(bool(each.tag) for each in self.chain),
        )


@dataclass(slots=True)
class Styles:
    """The style sheets of a drawing.

    Parameters
    ----------
    rules : sequence
        From ``styles_in``.
    """

    rules: Sequence[_Rule]
    matches: int = field(default=0, init=False)

    def of(self, element: etree._Element) -> dict[str, str]:
        """Give what sheets and the ``style`` attribute say of an element.

        Parameters
        ----------
        element : lxml element
            Of the drawing.

        Returns
        -------
        dict
            Values in lower case by property; only those in ``CONCERNS``.

        Raises
        ------
        ValueError
            If there are too many rules to follow.
        """
        self.matches += len(self.rules)
        if self.matches > MOST_MATCHES:
            raise ValueError("the drawing has too many style rules")
        rules = [
            rule
            for rule in self.rules
            if rule.chain[-1].fits(element) and _is_within(element, rule)
        ]
        # the weightier last, and the element's own word after them all
        found = [rule.declared for rule in sorted(rules, key=lambda rule: rule.weight)]
        found.append(_declarations(element.get("style") or ""))
        result: dict[str, str] = {}
        for wanted in (False, True):
            for declared in found:
                result.update(
                    (key, value)
                    for key, (value, is_important) in declared.items()
                    if is_important == wanted
                )
        return result


def styles_in(root: etree._Element) -> Styles:
    """Read the style sheets of a drawing.

    Parameters
    ----------
    root : lxml element
        The drawing.

    Returns
    -------
    Styles
        Their rules, in order.

    Raises
    ------
    ValueError
        If a rule that would hide or move something cannot be followed.
    """
    rules: list[_Rule] = []
    for sheet in root.iter("{*}style"):
        if _is_for_paper((sheet.get("media") or "").casefold()):
            continue
        for selectors, body in _blocks(_COMMENT.sub(" ", sheet.text or "")):
            declared = _declarations(body)
            if declared:
                rules += (_rule(each.strip(), declared) for each in _static_selectors(selectors))
    return Styles(rules)


def _is_for_paper(media: str) -> bool:
    """Whether a sheet is for something else than a screen."""
    return bool(media.strip()) and not re.search(r"\b(?:all|screen)\b", media)


def _blocks(text: str) -> Iterator[tuple[str, str]]:
    """Give selectors and declarations of each rule, those for screens taken out of their block."""
    at = 0
    while True:
        statement = _STATEMENT.match(text, at)
        if statement:
            at = statement.end()
            continue
        opens = text.find("{", at)
        if opens < 0:
            return
        prelude, end = text[at:opens].strip(), _end_of_block(text, opens)
        body, at = text[opens + 1 : end], end + 1
        if not prelude.startswith("@"):
            yield prelude, body
        elif prelude.casefold().startswith("@media") and not _is_for_paper(prelude[6:].casefold()):
            yield from _blocks(body)


def _end_of_block(text: str, opens: int) -> int:
    """Find the brace that ends a block; the end of the text if none does."""
    depth = 0
    for match in re.compile(r"[{}]").finditer(text, opens):
        depth += 1 if match[0] == "{" else -1
        if depth == 0:
            return match.start()
    return len(text)


def _static_selectors(selectors: str) -> Iterator[str]:
    """Give the selectors that can hold without somebody pointing at things."""
    return (each for each in selectors.split(",") if not _WAITING.search(each))


def _rule(selector: str, declared: Declarations) -> _Rule:
    parts = re.sub(r"\s*>\s*", " > ", selector).split()
    chain: list[_Compound] = []
    direct: list[bool] = []
    for before, part in pairwise(["", *parts]):
        if part == ">":
            continue
        match = _COMPOUND.fullmatch(part)
        if match is None and _says_nothing_new(declared):
            return _Rule((_NOWHERE,), (False,), declared)
        if match is None:
            raise ValueError(
                f'the style rule "{selector[:60]}" hides or moves something in a way that is '
                "not understood; use plain classes or the display attribute"
            )
        marks = re.findall(r"([.#])([\w-]+)", match[2])
        chain.append(
            _Compound(
                "" if match[1] in (None, "*") else match[1],
                frozenset(name for mark, name in marks if mark == "."),
                frozenset(name for mark, name in marks if mark == "#"),
            )
        )
        direct.append(before == ">")
    if not chain:
        chain, direct = [_NOWHERE], [False]
    return _Rule(tuple(chain), tuple(direct), declared)


def _says_nothing_new(declared: Declarations) -> bool:
    """Whether a rule only says what holds without it: that what lies over an edge is cut off."""
    return {key: value for key, (value, _) in declared.items()} == {"overflow": "hidden"}


def _is_within(element: etree._Element, rule: _Rule) -> bool:
    """Whether what is above an element is as the selector says."""
    # places in the selector that may be met next, going outward
    places = {len(rule.chain) - 2}
    above = element.getparent()
    while -1 not in places and places and above is not None:
        met = {place - 1 for place in places if rule.chain[place].fits(above)}
        places = met | {place for place in places if not rule.direct[place + 1]}
        above = above.getparent()
    return -1 in places


def _declarations(body: str) -> Declarations:
    """Read declarations, of the properties that concern lines."""
    found: Declarations = {}
    for declaration in _COMMENT.sub(" ", body).split(";"):
        key, _, value = declaration.partition(":")
        key, value = key.strip().casefold(), value.strip().casefold()
        plain = re.sub(r"\s*!\s*important$", "", value)
        if key in CONCERNS and plain:
            found[key] = (plain, plain != value)
    return found


def is_shown(style: Mapping[str, str], attributes: Mapping[str, str]) -> bool:
    """Tell whether an element and all below it is drawn at all.

    Parameters
    ----------
    style : mapping
        From ``Styles.of``.
    attributes : mapping
        Of the element.

    Returns
    -------
    bool
        False with ``display: none``, and if it cannot be seen through and through.
    """
    display = style.get("display", attributes.get("display", "")).strip().casefold()
    opacity = style.get("opacity", attributes.get("opacity", "")).strip()
    return display != "none" and not re.fullmatch(r"\+?-?0*\.?0*%?", opacity or "1")


def is_visible(style: Mapping[str, str], attributes: Mapping[str, str], *, above: bool) -> bool:
    """Tell whether an element's own lines are visible; what is below may differ.

    Parameters
    ----------
    style : mapping
        From ``Styles.of``.
    attributes : mapping
        Of the element.
    above : bool
        Whether what holds it is visible.

    Returns
    -------
    bool
        By ``visibility`` (CSS 2.2, section 11.2).
    """
    value = style.get("visibility", attributes.get("visibility", "")).strip().casefold()
    if value in {"visible", "initial"}:
        return True
    return above and value not in {"hidden", "collapse"}
