"""The base of every section of a site file."""

from typing import Any

from pydantic import (
    BaseModel,
    ConfigDict,
    ValidationError,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    field_validator,
    model_validator,
)

DRAFT = "draft"
"""Context key: read what can be read and leave the rest None, so that keys can be compared."""


class Section(BaseModel):
    """One table of a site file: frozen, and no key that is not known."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_default=True, defer_build=True)

    @model_validator(mode="before")
    @classmethod
    def _fill_draft(cls, data: Any, info: ValidationInfo) -> Any:
        if not (info.context or {}).get(DRAFT) or not isinstance(data, dict):
            return data
        names = {name: field.alias or name for name, field in cls.model_fields.items()}
        required = {names[name] for name, f in cls.model_fields.items() if f.is_required()}
        known = {key: value for key, value in data.items() if key in names.values()}
        return dict.fromkeys(required) | known

    @field_validator("*", mode="wrap")
    @classmethod
    def _skip_in_draft(
        cls, value: Any, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> Any:
        try:
            return handler(value)
        except ValidationError:
            if not (info.context or {}).get(DRAFT):
                raise
            return None


def source(text: str) -> dict[str, Any]:
    """Return what a field needs so that its default is shown with its source."""
    return {"x-source": text}
