"""Bodies drawn from the shapes that the API describes, sound ones and spoilt ones."""

from typing import Any

from hypothesis import strategies as st

from tests.service.api import Json

ODD_TEXTS = st.sampled_from(
    ["", " ", "0", "-1", "1e400", "nan", "36.8 cm", '14½"', "9**9**9 cm", "1/0 in", "\x00", "٣ cm"]
)
TEXTS = ODD_TEXTS | st.text(max_size=30)
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | TEXTS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)


def drawn(schema: Json, schemas: Json, *, spoilt: bool = True) -> st.SearchStrategy[Any]:
    """Return a strategy for values of a schema, with now and then a value that is none."""
    sound = _sound(schema, schemas, spoilt=spoilt)
    # One in twelve: enough sound bodies must be left to get past the first check.
    return st.integers(0, 11).flatmap(lambda n: ANYTHING if spoilt and not n else sound)


def _sound(schema: Json, schemas: Json, *, spoilt: bool) -> st.SearchStrategy[Any]:
    if "$ref" in schema:
        return _sound(schemas[schema["$ref"].rpartition("/")[2]], schemas, spoilt=spoilt)
    if "anyOf" in schema:
        return st.one_of([_sound(one, schemas, spoilt=spoilt) for one in schema["anyOf"]])
    if "enum" in schema or "const" in schema:
        return st.sampled_from(schema.get("enum") or [schema["const"]])
    if schema.get("type") == "object":
        return _object(schema, schemas, spoilt=spoilt)
    if schema.get("type") == "array":
        items = drawn(schema["items"], schemas, spoilt=spoilt)
        return st.lists(items, min_size=schema.get("minItems", 0), max_size=2)
    return _plain(schema)


def _object(schema: Json, schemas: Json, *, spoilt: bool) -> st.SearchStrategy[Any]:
    needed = set(schema.get("required", ()))
    fields = {
        name: drawn(told, schemas, spoilt=spoilt)
        for name, told in schema.get("properties", {}).items()
    }
    return st.fixed_dictionaries(
        {name: fields[name] for name in fields if name in needed},
        optional={name: fields[name] for name in fields if name not in needed},
    )


def _plain(schema: Json) -> st.SearchStrategy[Any]:
    kind = schema.get("type")
    examples = schema.get("examples", [])
    if kind == "string":
        plain = st.text(min_size=schema.get("minLength", 0), max_size=12) | TEXTS
        return st.sampled_from(examples) | plain if examples else plain
    if kind == "integer":
        return st.integers(schema.get("exclusiveMinimum", schema.get("minimum", 0)), 120)
    if kind == "number":
        least = schema.get("exclusiveMinimum", schema.get("minimum", 0))
        return st.floats(least, schema.get("maximum", 1e6)) | st.sampled_from([1, 13, 100.5])
    return {"boolean": st.booleans(), "null": st.none()}.get(str(kind), ANYTHING)
