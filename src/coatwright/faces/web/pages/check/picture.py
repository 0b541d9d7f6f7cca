"""Readings of a film as pictures: where they lie on the area, and how they lie against limits."""

from typing import Final

from markupsafe import Markup

from coatwright.actions.checking.films import FilmSheet, Reading, Spot
from coatwright.faces.drawing.svg import SMALL, TEXT, Scale, label, line, picture, tag, ticks
from coatwright.faces.format import Words, unit_of
from coatwright.sentences import Said
from coatwright.units import shown

_LEFT: Final = 12.0
_RIGHT: Final = 348.0
_ROW: Final = 46.0
_ACROSS: Final = 5
_MARKS: Final = {
    "too little": "▼", "light": "▽", "within": "○", "too much": "▲", "not judged": "·",
}  # fmt: skip


def film_svg(sheet: FilmSheet, one: Reading, words: Words) -> Markup:
    """The area with its spots in the order read, there and back; below it every reading to scale.

    Nobody says where on the area a spot was, so the rows only follow the order.
    """
    rows = -(-len(one.spots) // _ACROSS)
    base = 24.0 + rows * _ROW
    made = [
        tag("rect", x=_LEFT, y=20.0, width=_RIGHT - _LEFT, height=base - 16.0, fill="none",
            stroke="currentColor", stroke_width=2)
    ]  # fmt: skip
    made += [_spot(spot, words) for spot in one.spots]
    made += _strip(one, base + 62.0, words)
    counted = {mark: sum(s.lies == mark for s in one.spots) for mark in _MARKS}
    about = ", ".join(f"{n} {words.tell(Said(mark))}" for mark, n in counted.items() if n)
    title = words.say(
        "{area}: {count} readings by {method}",
        area=sheet.title,
        count=len(one.spots),
        method=Said(one.method),
    )
    return Markup(picture(f"film-{one.key}", title, about, base + 96.0, *made))


def _spot(spot: Spot, words: Words) -> str:
    row, place = divmod(spot.number - 1, _ACROSS)
    place = _ACROSS - 1 - place if row % 2 else place
    x = _LEFT + (place + 0.5) * (_RIGHT - _LEFT) / _ACROSS
    y = 20.0 + row * _ROW + 20.0
    value, _ = shown(spot.film.value, "film", words.system)
    text = words.fixed(value, 0 if words.system == "metric" else 2)
    return label(_MARKS[spot.lies], x, y, size=TEXT + 2, text_anchor="middle") + label(
        text, x, y + 16, size=TEXT, text_anchor="middle", font_weight=650
    )


def _strip(one: Reading, y: float, words: Words) -> list[str]:
    """Every reading on one ruler; what is wanted as a band between two lines."""

    def at(value: float) -> float:
        return shown(value, "film", words.system)[0]

    limits = [figure.value for figure in (one.least, one.most) if figure]
    high = at(max([spot.film.value for spot in one.spots] + limits)) * 1.12
    x = Scale(0.0, max(high, 1e-9), _LEFT, _RIGHT)
    made = [line(_LEFT, y, _RIGHT, y)]
    for value in ticks(high, 5):
        made.append(line(x(value), y, x(value), y + 4))
        made.append(
            label(
                words.tongue.number(f"{value:g}"),
                x(value),
                y + 17,
                size=SMALL,
                text_anchor="middle",
            )
        )
    made.append(label(unit_of("film", words.system), _RIGHT, y + 31, size=SMALL, text_anchor="end"))
    names = ("wanted" if one.method == "wet comb" else "least", "most")
    for name, figure in zip(names, (one.least, one.most), strict=True):
        if figure:
            made.append(line(x(at(figure.value)), y, x(at(figure.value)), y - 30, stroke_width=2))
            anchor = "start" if name != "most" else "end"
            shift = 3 if name != "most" else -3
            made.append(
                label(name, x(at(figure.value)) + shift, y - 22, size=SMALL, text_anchor=anchor)
            )
    made += [
        tag("circle", cx=x(at(spot.film.value)), cy=y - 8, r=4.5, fill="none",
            stroke="var(--accent)", stroke_width=2)
        for spot in one.spots
    ]  # fmt: skip
    return made
