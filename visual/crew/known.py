"""What must be known before the crew gets a number."""

import math

from visual.errors import HeightUnknownError
from visual.model import Model


def require_anchor_heights(model: Model) -> None:
    """Make sure that every anchor's eye has a height.

    Raises
    ------
    HeightUnknownError
        Naming every anchor whose eye has none.
    """
    unknown = [side for side, anchor in model.anchors.items() if math.isnan(anchor.eye[2])]
    if not unknown:
        return
    named = ", ".join(f"anchors.{side}" for side in unknown)
    message = (
        f"{model.site.path.name}: {named}: the ground has no height there, so nothing can be "
        "measured off; add survey points there, or give position and height of the eye"
    )
    raise HeightUnknownError(message)
