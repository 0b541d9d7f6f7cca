"""The air line as a picture: what the gun gets for what the wall shows, with the readings in it."""

from collections.abc import Sequence

from markupsafe import Markup

from coatwright.actions.checking.gauges import Pair
from coatwright.faces.drawing.svg import SMALL, Scale, label, line, path, picture, tag, ticks
from coatwright.faces.format import Words, unit_of
from coatwright.planning.conditions.air.reading import LineRead
from coatwright.units import shown

_LEFT, _RIGHT, _TOP, _BASE = 40.0, 346.0, 30.0, 232.0


def line_svg(read: LineRead, pairs: Sequence[Pair], words: Words) -> Markup:
    """Wall gauge across, gun gauge upwards, trigger pulled; dashed: before any reading."""
    mine = [pair for pair in pairs if pair.gun == read.line_after.gun and not pair.fault]
    reach = max([*read.line_before.wall, *read.line_after.wall, *(pair.wall for pair in mine)])
    high = max([*read.line_after.at_gun, *(pair.at_gun for pair in mine)])

    def bar(value: float) -> float:
        return shown(value, "pressure", words.system)[0]

    x = Scale(0.0, bar(reach) * 1.08, _LEFT, _RIGHT)
    y = Scale(0.0, bar(high) * 1.12, _BASE, _TOP)
    unit = unit_of("pressure", words.system)
    made = [line(_LEFT, _BASE, _RIGHT, _BASE), line(_LEFT, _BASE, _LEFT, _TOP)]
    made += [
        line(_LEFT, y(at), _RIGHT, y(at), stroke_opacity=0.2)
        + label(words.tongue.number(f"{at:g}"), _LEFT - 6, y(at) + 4, size=SMALL, text_anchor="end")
        for at in ticks(y.high, 5)
    ]
    made += [
        label(words.tongue.number(f"{at:g}"), x(at), _BASE + 16, size=SMALL, text_anchor="middle")
        for at in ticks(x.high, 5)
    ]
    for told, dashes in ((read.line_before, "5 4"), (read.line_after, None)):
        points = [(x(bar(a)), y(bar(b))) for a, b in zip(told.wall, told.at_gun, strict=True)]
        if dashes is None or read.used:
            made.append(
                tag("path", d=path(points), fill="none", stroke="currentColor", stroke_width=2.2,
                    stroke_dasharray=dashes)
            )  # fmt: skip
    for pair in mine:
        at, up = x(bar(pair.wall)), y(bar(pair.at_gun))
        made.append(
            tag("path", d=f"M{at - 6:.1f},{up:.1f}h12M{at:.1f},{up - 6:.1f}v12", fill="none",
                stroke="var(--accent)", stroke_width=3)
        )  # fmt: skip
    made.append(label(words.say("at the gun, {unit}", unit=unit), _LEFT - 30, 16, size=SMALL))
    wall = words.say("at the wall, {unit}", unit=unit)
    made.append(label(wall, _RIGHT, _BASE + 34, size=SMALL, text_anchor="end"))
    title = words.say("Wall and gun, trigger pulled")
    about = words.say("What the gun gets for what the wall shows; readings: {count}.",
                      count=len(mine))  # fmt: skip
    return Markup(picture("line", title, about, _BASE + 42, *made))
