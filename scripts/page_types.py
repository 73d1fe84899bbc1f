"""Write what the phone app answers as TypeScript declarations, from the schema of its models.

Run it when src/crustbreak/web/phone/responses.py has changed; a test says when it was forgotten.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic.json_schema import models_json_schema

from crustbreak.web.phone.responses import RESPONSES

TYPES = Path(__file__).parents[1] / "src" / "crustbreak" / "web" / "types" / "phone-api.d.ts"
HEAD = "// What the phone app answers. Written by scripts/page_types.py; no page loads this.\n"
PLAIN = {
    "string": "string",
    "integer": "number",
    "number": "number",
    "boolean": "boolean",
    "null": "null",
}


def declarations() -> str:
    """Return the declarations of every answer and of what is in it."""
    _, schema = models_json_schema([(model, "serialization") for model in RESPONSES])
    every = (_declaration(name, each) for name, each in sorted(schema["$defs"].items()))
    return "\n".join([HEAD, *every])


def _declaration(name: str, schema: dict[str, Any]) -> str:
    if "properties" not in schema:
        return f"export type {name} = {type_text(schema)};\n"
    lines = "\n".join(_fields(schema["properties"]))
    return f"export interface {name} {{\n{lines}\n}}\n"


def _fields(properties: dict[str, Any]) -> Iterator[str]:
    for name, schema in properties.items():
        # What has a default may be left out.
        mark = "?" if "default" in schema else ""
        yield f"  {name}{mark}: {type_text(schema)};"


def type_text(schema: dict[str, Any]) -> str:
    """Return a schema as a TypeScript type.

    >>> type_text({"type": "array", "items": {"anyOf": [{"type": "string"}, {"type": "null"}]}})
    '(string | null)[]'
    """
    match schema:
        case {"$ref": reference}:
            return str(reference).rpartition("/")[2]
        case {"const": value}:
            return _literal(value)
        case {"enum": values}:
            return " | ".join(_literal(value) for value in values)
        case {"anyOf": several}:
            return " | ".join(dict.fromkeys(type_text(each) for each in several))
    return _shape_text(schema)


def _shape_text(schema: dict[str, Any]) -> str:
    match schema:
        case {"type": "array", "prefixItems": items}:
            return f"[{', '.join(type_text(each) for each in items)}]"
        case {"type": "array", "items": items}:
            inner = type_text(items)
            return f"({inner})[]" if " " in inner and inner[0] != "[" else f"{inner}[]"
        case {"type": "object", "additionalProperties": values}:
            return f"Record<string, {type_text(values)}>"
        case {"type": name}:
            return PLAIN[name]
    raise ValueError(f"no TypeScript type is known for {schema}")


def _literal(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else f'"{value}"'


if __name__ == "__main__":
    TYPES.write_text(declarations(), encoding="utf-8")
    sys.stdout.write(f"{TYPES.name} is written\n")
