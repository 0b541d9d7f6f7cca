"""JSON Schemas of the job file and of a product sheet, for editors that complete and check TOML.

They describe the same fields as the model, made from it; data/schema/ holds them ready to use.
What no schema can say (shares that sum to 100 %, keys that refer to each other) reading checks.
"""

import json
from typing import Any, Final

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema

from coatwright import units
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.model.quantity import PURPOSE, QUANTITY

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def job_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a job file."""
    return _schema(Job, "Coatwright job file")


def sheet_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a product sheet."""
    return _schema(Material, "Coatwright product sheet")


def published() -> dict[str, str]:
    """File name in data/schema -> its text."""
    schemas = {"job.schema.json": job_schema(), "sheet.schema.json": sheet_schema()}
    return {
        name: json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
        for name, schema in schemas.items()
    }


class _Written(GenerateJsonSchema):
    """Defaults that are tables as a person writes them: "0.1 g", not 0.0001."""

    def encode_default(self, dft: Any) -> Any:
        if isinstance(dft, BaseModel):
            return dft.model_dump(mode="json", exclude_none=True)
        return super().encode_default(dft)


def _schema(model: type[BaseModel], title: str) -> dict[str, Any]:
    made = model.model_json_schema(mode="validation", schema_generator=_Written)
    _finish(made)
    return {"$schema": _DIALECT, **made, "title": title}


def _finish(node: Any) -> None:
    """Say of every quantity what it takes; ask for the `kind` that tells shapes apart."""
    if isinstance(node, list):
        for entry in node:
            _finish(entry)
    if not isinstance(node, dict):
        return
    for entry in node.values():
        _finish(entry)
    _without_null(node)
    if isinstance(node.get("properties"), dict):
        tags = [name for name, entry in node["properties"].items() if "const" in entry]
        if tags:
            node["required"] = [*tags, *node.get("required", ())]
    if QUANTITY in node:
        purpose, takes = node.pop(PURPOSE), node.pop(QUANTITY)
        meaning = node.get("description")
        node["description"] = f"{meaning} ({takes})" if meaning else takes
        if isinstance(node.get("default"), float):
            node["default"] = units.write(node["default"], purpose)


def _without_null(node: dict[str, Any]) -> None:
    """TOML has no null: a field that may be left out is simply not there."""
    kept = [entry for entry in node.get("anyOf", ()) if entry != {"type": "null"}]
    if len(kept) == 1 and len(node["anyOf"]) == 2:
        del node["anyOf"]
        if node.get("default", "") is None:
            del node["default"]
        for name, value in kept[0].items():
            if name == "description" and name in node:
                value = f"{node[name]} ({value})"
            node[name] = value if name != "examples" else node.get(name, value)
