"""Ways to break a good job file: each changes one thing and knows where it did so.

A mutation takes a Page (the good file, with a seeded source of chance) and returns a Broken text.
Lines are counted here by hand on the text, apart from the reader's own way of finding them.
"""

import random
import re
from collections.abc import Callable
from typing import NamedTuple

PAIR = re.compile(r"^([a-z_]+) = (.+)$")
INLINE = re.compile(r'([a-z_]+) = "([^"]+)"(?=[,} ])')
QUANTITY = re.compile(r'"[0-9.]+ (?:mm|cm|m|um|L|mL|mL/min|L/min|bar|s|%|deg|m2|m/s|g|kg|d|degC)"')


class Broken(NamedTuple):
    """A broken text; the line that must be named (0: any), and a word of the field (or nothing)."""

    text: str
    line: int = 0
    field: str = ""


class Page:
    """The lines of a good file, and chance."""

    def __init__(self, text: str, seed: int) -> None:
        self.lines = text.splitlines()
        self.chance = random.Random(seed)

    def pick(self, good: Callable[[str], object]) -> int:
        """The number (from 0) of a line that is good for a purpose."""
        return self.chance.choice([n for n, line in enumerate(self.lines) if good(line)])

    def with_line(self, number: int, *lines: str) -> str:
        """The text with other lines in the place of one."""
        return "\n".join([*self.lines[:number], *lines, *self.lines[number + 1 :]]) + "\n"

    def heading(self, number: int) -> int:
        """Line (from 1) of the heading that a line stands under; 1 for none."""
        return next((n + 1 for n in range(number, -1, -1) if self.lines[n].startswith("[")), 1)


def is_pair(line: str) -> bool:
    return PAIR.match(line) is not None


def holds(*names: str) -> Callable[[str], bool]:
    return lambda line: is_pair(line) and line.partition(" = ")[0] in names


def holds_quantity(line: str) -> bool:
    return is_pair(line) and QUANTITY.search(line) is not None


NEEDED = (
    "key", "title", "nozzle", "cup", "fluid", "air", "transfer", "ground", "shape", "painter",
    "labour", "speed_spread", "tilt_spread", "family", "distance_min", "footprint",
)  # fmt: skip


def delete_needed(page: Page) -> Broken:
    number = page.pick(holds(*NEEDED))
    name = page.lines[number].partition(" = ")[0]
    return Broken(page.with_line(number), page.heading(number), name)


def misspell(page: Page) -> Broken:
    number = page.pick(is_pair)
    name, value = PAIR.match(page.lines[number]).groups()
    at = page.chance.randrange(len(name))
    wrong = page.chance.choice(
        [name[:at] + name[at:][:1] * 2 + name[at + 1 :], f"{name}s", f"x{name}"]
    )
    return Broken(page.with_line(number, f"{wrong} = {value}"), number + 1, wrong)


def misspell_inside(page: Page) -> Broken:
    number = page.pick(lambda line: is_pair(line) and "{" in line)
    found = page.chance.choice(list(INLINE.finditer(page.lines[number])))
    wrong = f"{found[1]}x"
    line = page.lines[number][: found.start()] + wrong + page.lines[number][found.end(1) :]
    return Broken(page.with_line(number, line), number + 1, "kind" if found[1] == "kind" else wrong)


def change_quantity(page: Page, make: Callable[[str], str]) -> Broken:
    number = page.pick(holds_quantity)
    line = page.lines[number]
    found = page.chance.choice(list(QUANTITY.finditer(line)))
    name = line[: found.start()].rpartition(" = ")[0].rpartition(" ")[2].strip("{,")
    changed = line[: found.start()] + make(found[0].strip('"')) + line[found.end() :]
    return Broken(page.with_line(number, changed), number + 1, name)


def wrong_unit(page: Page) -> Broken:
    unit = page.chance.choice(["furlong", "gal", "M", "kWh", "mm/h", "bar2", "lbf", "units"])
    return change_quantity(page, lambda text: f'"{text.split()[0]} {unit}"')


def other_dimension(page: Page) -> Broken:
    return change_quantity(page, lambda text: f'"{text.split()[0]} mPa s"')


def no_unit(page: Page) -> Broken:
    # A share may be written without a unit; "2" of it is out of range.
    return change_quantity(page, lambda _: '"2"')


def bare_number(page: Page) -> Broken:
    return change_quantity(page, lambda text: text.split()[0])


def no_number(page: Page) -> Broken:
    return change_quantity(page, lambda text: f'"{text.split()[1]}"')


def negative(page: Page) -> Broken:
    return change_quantity(page, lambda text: f'"-900 {text.split()[1]}"')


def enormous(page: Page) -> Broken:
    size = page.chance.choice(["1e30", "1e400", "9" * 400, "1e999999999"])
    return change_quantity(page, lambda text: f'"{size} {text.split()[1]}"')


def wrong_type(page: Page) -> Broken:
    number = page.pick(is_pair)
    name, value = PAIR.match(page.lines[number]).groups()
    others = ["true", "[]", "{ a = 1 }", "1979-05-27", "3.5", "[[1], [2]]", "nan", "07:32:00"]
    numbers = {"across", "along", "count"}
    fits = {"true": value in ("true", "false"), "[]": name in ("topcoat", "system"),
            "{ a = 1 }": False, "3.5": name in numbers - {"count"}}  # fmt: skip
    other = page.chance.choice([text for text in others if not fits.get(text)])
    return Broken(page.with_line(number, f"{name} = {other}"), number + 1, name)


CHOICES = ("orientation", "zone", "finish", "kind", "voc_region", "ground", "family", "prepared")


def no_choice(page: Page) -> Broken:
    number = page.pick(holds(*CHOICES))
    name = page.lines[number].partition(" = ")[0]
    word = page.chance.choice(["sideways", "", "Vertical ", "steel", "hvpl", "P85", "unknown"])
    return Broken(page.with_line(number, f'{name} = "{word}"'), number + 1, name)


def unknown_shape(page: Page) -> Broken:
    number = page.pick(holds("shape", "access"))
    line = re.sub(r'kind = "[^"]+"', 'kind = "banana"', page.lines[number])
    return Broken(page.with_line(number, line), number + 1, "kind")


def other_shape(page: Page) -> Broken:
    """The measures of one shape under the name of another."""
    number = page.pick(lambda line: 'kind = "curved panel"' in line)
    line = page.lines[number].replace(
        "curved panel", page.chance.choice(["tube", "dome", "channel"])
    )
    return Broken(page.with_line(number, line), number + 1, "shape")


def bad_count(page: Page) -> Broken:
    number = page.pick(holds("count"))
    wrong = page.chance.choice(["0", "-1", "501", "2.5", '"two"', "99999999999999999999999"])
    return Broken(page.with_line(number, f"count = {wrong}"), number + 1, "count")


def bad_shares(page: Page) -> Broken:
    number = page.pick(holds("share"))
    changed = page.with_line(number, f'share = "{page.chance.choice([1, 3, 7, 99, 100])}.5 %"')
    return Broken(changed, 0, "patches" if "100" not in changed.splitlines()[number] else "share")


def holes_too_large(page: Page) -> Broken:
    number = page.pick(holds("holes"))
    return Broken(page.with_line(number, f'holes = "{page.chance.randint(2, 900)} m2"'), number + 1,
                  "holes")  # fmt: skip


def doubled_line(page: Page) -> Broken:
    number = page.pick(is_pair)
    line = page.lines[number]
    return Broken(page.with_line(number, line, line), number + 2)


def doubled_area(page: Page) -> Broken:
    keys = [n for n, line in enumerate(page.lines) if line == "[[areas]]"]
    one, two = page.chance.sample(range(len(keys)), 2)
    key = page.lines[keys[min(one, two)] + 1]
    number = keys[max(one, two)] + 1
    return Broken(page.with_line(number, key), number + 1, "key")


def bad_key(page: Page) -> Broken:
    number = page.pick(holds("key"))
    wrong = page.chance.choice(["Roof", "near side", "-a", "", "a_b", "é"])
    return Broken(page.with_line(number, f'key = "{wrong}"'), number + 1, "key")


def nobody(page: Page) -> Broken:
    number = page.pick(holds("painter"))
    return Broken(page.with_line(number, 'painter = "nobody"'), number + 1, "painter")


def bad_money(page: Page) -> Broken:
    number = page.pick(holds("labour"))
    wrong = page.chance.choice(['"45"', '"45 EUR/h"', '"45 GBP"', '"£45/h"', "45", '"-45 GBP/h"'])
    return Broken(page.with_line(number, f"labour = {wrong}"), number + 1, "labour")


def upside_down(page: Page) -> Broken:
    number = page.pick(holds("pressure_min", "distance_min", "speed_min"))
    name = page.lines[number].partition(" = ")[0]
    most = {"pressure_min": "9 bar", "distance_min": "9 m", "speed_min": "2 m/s"}[name]
    return Broken(page.with_line(number, f'{name} = "{most}"'), number + 1, name)


def bad_corner(page: Page) -> Broken:
    number = page.pick(lambda line: "corner = " in line)
    line = re.sub(r'corner = "[^"]+"', 'corner = "40 cm"', page.lines[number])
    return Broken(page.with_line(number, line), number + 1, "corner")


def open_quote(page: Page) -> Broken:
    number = page.pick(lambda line: is_pair(line) and line.endswith('"'))
    return Broken(page.with_line(number, page.lines[number][:-1]), number + 1)


def no_quotes(page: Page) -> Broken:
    number = page.pick(lambda line: is_pair(line) and line.endswith('"'))
    return Broken(page.with_line(number, page.lines[number].replace('"', "")), number + 1)


def no_equals(page: Page) -> Broken:
    number = page.pick(is_pair)
    return Broken(page.with_line(number, page.lines[number].replace(" = ", " ", 1)), number + 1)


def junk(page: Page) -> Broken:
    number = page.pick(is_pair)
    word = page.chance.choice(["paint it green", "=", "{", "]]", "key: value", "\\", "key ="])
    return Broken(page.with_line(number, word, page.lines[number]), number + 1)


def open_heading(page: Page) -> Broken:
    number = page.pick(lambda line: line.startswith("["))
    return Broken(page.with_line(number, page.lines[number][:-1]), number + 1)


def unknown_heading(page: Page) -> Broken:
    number = page.pick(lambda line: line == "[[areas]]")
    return Broken(page.with_line(number, "[[aeras]]"), 0, "aeras")  # patches fall to another area


def one_table_for_many(page: Page) -> Broken:
    number = page.pick(lambda line: line.startswith("[["))
    return Broken(page.with_line(number, page.lines[number][1:-1]))


def cut_short(page: Page) -> Broken:
    number = page.pick(lambda line: is_pair(line) and line.endswith('"'))
    text = "\n".join([*page.lines[:number], page.lines[number][: -page.chance.randint(1, 4)]])
    return Broken(text)


def lost_patches(page: Page) -> Broken:
    """All headings of patches gone: their fields fall into the area, or stand twice."""
    start = page.pick(lambda line: line == "[[areas.patches]]")
    return Broken(page.with_line(start))


MUTATIONS: tuple[Callable[[Page], Broken], ...] = (
    delete_needed, misspell, misspell_inside, wrong_unit, other_dimension, no_unit, bare_number,
    no_number, negative, enormous, wrong_type, no_choice, unknown_shape, other_shape, bad_count,
    bad_shares, holes_too_large, doubled_line, doubled_area, bad_key, nobody, bad_money,
    upside_down, bad_corner, open_quote, no_quotes, no_equals, junk, open_heading, unknown_heading,
    one_table_for_many, cut_short, lost_patches,
)  # fmt: skip
