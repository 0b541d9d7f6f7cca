"""A validation fault in words a person understands: what is wrong, and what would be right."""

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, NamedTuple

from pydantic import BaseModel

from coatwright.errors import CoatwrightError
from coatwright.intake.toml import wanted
from coatwright.intake.toml.places import Place
from coatwright.model.quantity import KEY_FORM
from coatwright.sentences import Said, listed, say


class Fault(NamedTuple):
    """One fault: the place of the value (or of the missing key), what is wrong, what is right."""

    place: Place
    what: str
    instead: str


class _Case(NamedTuple):
    """All that a sentence may need: the pydantic error, the place, the value and its type there."""

    kind: str
    context: Mapping[str, Any]
    place: Place
    value: object
    wanted: object
    beside: Sequence[str] = ()


def field(place: Place, data: object) -> str:
    """A place as a person sees it: areas[4] "roof" > shape > width (entries count from 1)."""
    words: list[str] = []
    for part in place:
        data = _step(data, part)
        if isinstance(part, int):
            name = _name(data)
            words.append(f"{words.pop() if words else ''}[{part + 1}]{name}")
        else:
            words.append(str(part))
    return " > ".join(words)


def faults(details: Iterable[Any], data: Mapping[str, Any], model: type[BaseModel]) -> list[Fault]:
    """Every fault of pydantic's list in plain words; a misspelt key is told once, not twice."""
    cases = [case for case in (_case(detail, data, model) for detail in details) if _real(case)]
    found = [Fault(case.place, *_sentence(case)) for case in cases]
    meant = {(*c.place[:-1], _likely(c)) for c in cases if c.kind == "extra_forbidden"}
    return [
        fault
        for case, fault in zip(cases, found, strict=True)
        if not (case.kind == "missing" and case.place in meant)
    ]


def _real(case: _Case) -> bool:
    """False for "too few entries" where pydantic only means that the entries have faults."""
    least = case.context.get("min_length", 0)
    return not (
        case.kind == "too_short" and isinstance(case.value, list) and len(case.value) >= least
    )


def _case(detail: Mapping[str, Any], data: object, model: type[BaseModel]) -> _Case:
    kind, context, loc = str(detail["type"]), detail.get("ctx") or {}, tuple(detail["loc"])
    place, value, there = _locate(loc, data, model, keep_last=kind == "missing")
    if kind == "extra_forbidden":
        _, table, there = _locate(loc[:-1], data, model, keep_last=False)
        return _Case(kind, context, place, value, there, tuple(table))  # type: ignore[arg-type]
    if kind == "refused":
        place = (*place, *context.get("at", ()))
    if kind in ("union_tag_invalid", "union_tag_not_found") and isinstance(value, Mapping):
        tag = str(context.get("discriminator", "kind")).strip("'")
        place, value = (*place, tag), value.get(tag)
    return _Case(kind, context, place, value, there)


def _locate(
    loc: Place, data: object, there: object, *, keep_last: bool
) -> tuple[Place, object, object]:
    """The place in the text that a pydantic location means (it also names union members)."""
    place: list[str | int] = []
    for index, part in enumerate(loc):
        last = index == len(loc) - 1
        if part == "[key]":
            continue
        if _has(data, part) or (last and keep_last):
            place.append(part)
            data, there = _step(data, part), wanted.inner(there, part)
        else:
            there = wanted.member(there, part)
    return tuple(place), data, there


def _has(data: object, part: str | int) -> bool:
    if isinstance(data, Mapping):
        return part in data
    return isinstance(data, list) and isinstance(part, int) and part < len(data)


def _step(data: object, part: str | int) -> object:
    if _has(data, part):
        return data[part]  # type: ignore[index]
    return None


def _name(entry: object) -> str:
    if isinstance(entry, Mapping):
        for label in ("key", "id", "title"):
            if isinstance(entry.get(label), str):
                return f' "{entry[label]}"'
    return ""


def _sentence(case: _Case) -> tuple[str, str]:
    for kinds, write in _SENTENCES:
        if case.kind in kinds:
            return write(case)
    return say("{found} is not accepted here", found=_found(case.value)), _write_it(case)


def _found(value: object) -> str:
    """A value as the person wrote it, short."""
    if isinstance(value, bool):
        return say("true") if value else say("false")
    if isinstance(value, str):
        return f"'{value if len(value) <= 60 else value[:57] + '...'}'"
    if isinstance(value, int | float):
        return str(value) if len(str(value)) <= 40 else say("a very long number")
    names = ((datetime.date | datetime.time, say("a date or time")), (list, say("a list")),
             (dict, say("a table")))  # fmt: skip
    return next((name for kind, name in names if isinstance(value, kind)), say("nothing"))


def _write_it(case: _Case) -> str:
    example = wanted.example(case.wanted)
    name = next((part for part in reversed(case.place) if isinstance(part, str)), "")
    if example and name:
        return say("write e.g. {name} = {example}", name=name, example=example)
    return say("look the field up in the documentation")


def _missing(case: _Case) -> tuple[str, str]:
    name, example = case.place[-1], wanted.example(case.wanted)
    missing, header = say("'{name}' is missing", name=str(name)), _header(case.place)
    if example:
        return missing, say("add it, e.g. {name} = {example}", name=str(name), example=example)
    if wanted.models(wanted.entry(case.wanted)) and wanted.entry(case.wanted) is not case.wanted:
        return missing, say("add at least one [[{header}]] table", header=header)
    if wanted.models(case.wanted):
        return missing, say("add a table [{header}]", header=header)
    return missing, say("add it")


def _header(place: Place) -> str:
    return ".".join(str(part) for part in place if isinstance(part, str))


def _likely(case: _Case) -> str:
    """The field that a misspelt one was meant to be: close in letters, and not there already."""
    free = [name for name in wanted.fields(case.wanted) if name not in case.beside]
    return next(iter(get_close_matches(str(case.place[-1]).lower(), free, 1, 0.65)), "")


def _extra(case: _Case) -> tuple[str, str]:
    name, likely = case.place[-1], _likely(case)
    takes = ", ".join(wanted.fields(case.wanted))
    hint = (
        say("did you mean '{likely}'?", likely=likely)
        if likely
        else say("it takes {takes}", takes=takes)
    )
    return say("'{name}' is not known here", name=str(name)), hint


def _choice(case: _Case) -> tuple[str, str]:
    choices = wanted.choices(case.wanted)
    likely = get_close_matches(str(case.value).lower(), choices, 1, 0.6)
    listed = ", ".join(repr(choice) for choice in choices)
    return (
        say("{found} is none of the choices", found=_found(case.value)),
        say("did you mean '{likely}'? It must be one of {choices}", likely=likely[0],
            choices=listed)
        if likely
        else say("it must be one of {choices}", choices=listed),
    )  # fmt: skip


def _no_tag(case: _Case) -> tuple[str, str]:
    if case.value is not None:
        return _not_a(say("a table"), case)
    name = str(case.context.get("discriminator", "kind")).strip("'")
    choices = ", ".join(f"'{choice}'" for choice in wanted.choices(case.wanted))
    hint = say("add {name} = one of {choices}", name=name, choices=choices)
    return say("'{name}' is missing", name=name), hint


def _not_a(noun: str, case: _Case) -> tuple[str, str]:
    return say("{found} is not {noun}", found=_found(case.value), noun=noun), _write_it(case)


def _table(case: _Case) -> tuple[str, str]:
    found = say("{found} is not {noun}", found=_found(case.value), noun=say("a table"))
    if wanted.example(case.wanted) and isinstance(case.place[-1], str):
        return found, _write_it(case)
    known, header = ", ".join(wanted.fields(case.wanted)), _header(case.place)
    if known:
        return found, say("write a table [{header}] with {known}", header=header, known=known)
    return found, say("write a table [{header}]", header=header)


def _list(case: _Case) -> tuple[str, str]:
    if wanted.models(wanted.entry(case.wanted)):
        return (
            say("{found} is not {noun}", found=_found(case.value), noun=say("a list of tables")),
            say("write [[{header}]]", header=_header(case.place)),
        )
    return (
        say("{found} is not {noun}", found=_found(case.value), noun=say("a list")),
        say("put the entries between [ and ]"),
    )


def _text(case: _Case) -> tuple[str, str]:
    own = wanted.own_example(case.wanted) and isinstance(case.place[-1], str)
    return (
        say("{found} is not {noun}", found=_found(case.value), noun=say("text")),
        _write_it(case) if own else say("put it in quotes"),
    )


_LIMITS: Mapping[str, Callable[[object], str]] = {
    "ge": lambda bound: say("at least {bound}", bound=bound),
    "gt": lambda bound: say("above {bound}", bound=bound),
    "le": lambda bound: say("at most {bound}", bound=bound),
    "lt": lambda bound: say("below {bound}", bound=bound),
    "multiple_of": lambda bound: say("a multiple of {bound}", bound=bound),
}


def _limit(case: _Case) -> tuple[str, str]:
    bounds = [word(case.context[key]) for key, word in _LIMITS.items() if key in case.context]
    return (
        say("{found} is out of range", found=_found(case.value)),
        say("it must be {bounds}", bounds=listed(bounds)),
    )


def _length(case: _Case) -> tuple[str, str]:
    if "min_length" in case.context:
        least = _counted(case.context["min_length"], case)
        return say("there are too few entries"), say("at least {count} needed", count=least)
    most = _counted(case.context.get("max_length", "fewer"), case)
    return say("there are too many entries"), say("at most {count} allowed", count=most)


def _counted(number: object, case: _Case) -> str:
    """A count of entries, or of the characters of a text, with its verb."""
    if case.kind.startswith("string"):
        if number == 1:
            return say("{number} character is", number=number)
        return say("{number} characters are", number=number)
    if number == 1:
        return say("{number} entry is", number=number)
    return say("{number} entries are", number=number)


def _pattern(case: _Case) -> tuple[str, str]:
    shown = _FORMS.get(str(case.context.get("pattern")))
    what = say("{found} is not written as it must be", found=_found(case.value))
    return what, shown or _write_it(case)


_FORMS = {
    KEY_FORM: say("use small letters, digits and hyphens, e.g. 'near-side-door'"),
    r"^[A-Z]{3}$": say("use three capital letters, e.g. 'GBP'"),
}


def _own_words(case: _Case) -> tuple[str, str]:
    """Text that the model itself wrote, with the field's own example in place of a general one."""
    said = case.context.get("error", case.context)
    if isinstance(said, Mapping):
        what, instead = said.get("what", say("this is wrong")), said.get("instead", "")
    elif isinstance(said, CoatwrightError):
        what, instead = said.what, said.instead
    else:
        what, _, instead = str(said).partition("; ")
    before, general, _ = instead.partition(", e.g. ")
    own = wanted.own_example(case.wanted)
    if not (general and own):
        return what, instead
    if isinstance(instead, Said) and instead.places.keys() == {"example"}:
        return what, Said(instead.template, {"example": own})
    return what, f"{before}{general}{own}"


def _nested(_: _Case) -> tuple[str, str]:
    return (
        say("tables or lists are nested too deeply"),
        say("no more than a few levels are ever needed"),
    )


_Writer = Callable[[_Case], tuple[str, str]]
_SENTENCES: tuple[tuple[frozenset[str], _Writer], ...] = (
    (frozenset({"missing"}), _missing),
    (frozenset({"extra_forbidden"}), _extra),
    (frozenset({"literal_error", "enum", "union_tag_invalid"}), _choice),
    (frozenset({"union_tag_not_found"}), _no_tag),
    (frozenset({"value_error", "assertion_error", "refused"}), _own_words),
    (frozenset({"string_type", "string_sub_type", "string_unicode"}), _text),
    (
        frozenset({"model_type", "model_attributes_type", "dict_type", "mapping_type"}),
        _table,
    ),
    (frozenset({"list_type", "tuple_type", "set_type", "frozen_set_type", "iterable_type"}), _list),
    (
        frozenset({"int_type", "int_parsing", "int_from_float", "int_parsing_size"}),
        lambda case: _not_a(say("a whole number"), case),
    ),
    (
        frozenset(
            {"float_type", "float_parsing", "finite_number", "decimal_type", "decimal_parsing"}
        ),
        lambda case: _not_a(say("a number"), case),
    ),
    (frozenset({"bool_type", "bool_parsing"}), lambda case: _not_a(say("true or false"), case)),
    (
        frozenset({"greater_than", "greater_than_equal", "less_than", "less_than_equal"}),
        _limit,
    ),
    (frozenset({"too_short", "too_long", "string_too_short", "string_too_long"}), _length),
    (frozenset({"string_pattern_mismatch"}), _pattern),
    (frozenset({"json_invalid", "recursion_loop"}), _nested),
)
