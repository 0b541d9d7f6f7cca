"""Product sheets: the shop's own folder first, then the generic sheets of this package."""

from collections.abc import Iterable
from difflib import get_close_matches
from importlib.resources import files
from pathlib import Path

from coatwright.errors import InputError, InputErrors, NotFound
from coatwright.intake.toml import Written, fill, load, parse
from coatwright.model.material import Material


class Library(dict[str, Material]):
    """Product sheets by key, the shop's own first.

    library[key] raises NotFound with the nearest keys; notes says which of our sheets the shop
    has replaced.
    """

    def __init__(self, sheets: Iterable[Material] = (), notes: Iterable[str] = ()) -> None:
        super().__init__((sheet.key, sheet) for sheet in sheets)
        self.notes = tuple(notes)

    def __missing__(self, key: str) -> Material:
        likely = get_close_matches(key, self, 3, 0.5)
        listed = ", ".join(f"'{name}'" for name in likely or sorted(self))
        raise NotFound(
            f"there is no product sheet '{key}'",
            instead=f"did you mean {listed}?" if likely else f"there are {listed}",
        )


def load_sheets(folders: Iterable[Path] = ()) -> Library:
    """All sheets: those of the given folders, earlier folders winning, then our own.

    Raises InputErrors with every fault of every file, each with file, line and field; NotFound
    if a folder is not there.
    """
    texts: list[tuple[int, Written | InputError]] = []
    for rank, folder in enumerate(folders):
        texts += [(rank, _try_load(path)) for path in _sheets_in(folder)]
    texts += [(len(texts), written) for written in packaged("products")]
    return _gathered(texts)


def packaged(folder: str) -> list[Written]:
    """The TOML files of a folder of this package's data, parsed."""
    place = files("coatwright") / "data" / folder
    names = sorted(item.name for item in place.iterdir() if item.name.endswith(".toml"))
    return [parse((place / name).read_text(encoding="utf-8"), f"{folder}/{name}") for name in names]


def _sheets_in(folder: Path) -> list[Path]:
    if not folder.is_dir():
        raise NotFound(
            f"there is no folder of product sheets '{folder}'",
            instead="make it, or leave `sheets` out of the job file",
        )
    return sorted(folder.glob("*.toml"))


def _try_load(path: Path) -> Written | InputError:
    try:
        return load(path)
    except InputError as fault:
        return fault


def _gathered(texts: Iterable[tuple[int, Written | InputError]]) -> Library:
    sheets: dict[str, tuple[int, str, Material]] = {}
    faults: list[InputError] = []
    notes: list[str] = []
    for rank, written in texts:
        try:
            sheet = _filled(written)
            earlier = sheets.get(sheet.key)
            if earlier is None:
                sheets[sheet.key] = (rank, _file(written), sheet)
            elif earlier[0] == rank:
                faults.append(_twice(written, sheet.key, earlier[1]))
            else:
                notes.append(f"{earlier[1]} stands in for {_file(written)} ('{sheet.key}')")
        except InputErrors as many:
            faults.extend(many.faults)
        except InputError as fault:
            faults.append(fault)
    if faults:
        raise InputErrors(faults)
    return Library((sheet for _, _, sheet in sheets.values()), notes)


def _filled(written: Written | InputError) -> Material:
    if isinstance(written, InputError):
        raise written
    return fill(written, Material)


def _file(written: Written | InputError) -> str:
    return written.file


def _twice(written: Written | InputError, key: str, earlier: str) -> InputError:
    line = written.line(("key",)) if isinstance(written, Written) else 0
    return InputError(
        f"the key '{key}' is also that of {earlier}",
        file=_file(written),
        line=line,
        field="key",
        instead="every sheet of a folder needs a key of its own",
    )
