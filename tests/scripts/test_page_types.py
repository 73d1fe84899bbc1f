import pytest

from page_types import TYPES, declarations, type_text


def test_the_declarations_are_those_of_the_answers() -> None:
    assert TYPES.read_text(encoding="utf-8") == declarations(), "run scripts/page_types.py"


@pytest.mark.parametrize(
    ("schema", "text"),
    [
        ({"type": "integer"}, "number"),
        ({"$ref": "#/$defs/PlaceData"}, "PlaceData"),
        ({"const": True, "type": "boolean"}, "true"),
        ({"enum": ["kept", "set aside"], "type": "string"}, '"kept" | "set aside"'),
        ({"anyOf": [{"type": "integer"}, {"type": "number"}, {"type": "null"}]}, "number | null"),
        ({"type": "array", "items": {"type": "string"}}, "string[]"),
        (
            {"type": "array", "prefixItems": [{"type": "number"}, {"type": "string"}]},
            "[number, string]",
        ),
        ({"type": "object", "additionalProperties": {"type": "number"}}, "Record<string, number>"),
    ],
)
def test_a_schema_becomes_a_type(schema: dict[str, object], text: str) -> None:
    assert type_text(schema) == text


def test_what_has_no_type_is_refused() -> None:
    with pytest.raises(ValueError, match="no TypeScript type"):
        type_text({})
