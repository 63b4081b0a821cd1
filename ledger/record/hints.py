"""What the models of a season folder say of themselves: fields, types, fixed words."""

from __future__ import annotations

from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel


def hints(model: type[BaseModel]) -> dict[str, Any]:
    """A model's fields with their annotated types, in order."""
    found = get_type_hints(model, include_extras=True)
    return {name: found[name] for name in model.model_fields}


def given(hint: Any) -> Any:
    """The type without None."""
    if get_origin(hint) in (Union, UnionType):
        (hint,) = (one for one in get_args(hint) if one is not type(None))
    return hint


def fixed_words(hint: Any) -> list[str]:
    """The words of a fixed vocabulary; none if the type allows others."""
    hint = given(hint)
    return [str(word) for word in get_args(hint)] if get_origin(hint) is Literal else []
