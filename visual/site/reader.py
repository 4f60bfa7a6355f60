"""What reads one value of a site file: it checks, converts and describes itself."""

from abc import ABC, abstractmethod
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

CUSTOM = "hillmast"
"""Type of the pydantic errors raised here; their context holds rule and way out."""


def refusal(rule: str, way_out: str) -> PydanticCustomError:
    """Return the error that pydantic collects, with the two sentences of a `Problem`."""
    return PydanticCustomError(CUSTOM, "{rule}; {way_out}", {"rule": rule, "way_out": way_out})


class Reader(ABC):
    """Marks a field in ``Annotated[type, reader]``: reads what a person wrote.

    A subclass says in `form` how the value is written, and in `bounds` what it must keep within.
    """

    @property
    @abstractmethod
    def form(self) -> str:
        """How the value is written, in words."""

    @property
    def bounds(self) -> str:
        """The bounds in words; empty if there are none."""
        return ""

    @abstractmethod
    def read(self, value: object, context: dict[str, Any]) -> object:
        """Return the value as the record holds it, or raise `refusal`."""

    @abstractmethod
    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of what may stand in the file."""

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        del source, handler

        def validate(value: object, info: ValidationInfo) -> object:
            return self.read(value, info.context or {})

        return core_schema.with_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        del schema, handler
        return self.schema()
