"""A rendered photograph of a hide, seen as it truly is, and what its maker says of it."""

from decimal import Decimal
from functools import cache

from shapely import Polygon

from estimator.hide.hides import HideFacts
from estimator.photo.leather.seen import SeenFlaw, SeenHide
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, hide_scene

ERROR_MM = 1.3
FACTS = HideFacts(
    tag="side-09",
    thickness_min_mm=3.2,
    thickness_max_mm=3.6,
    price_paid=Decimal("154.50"),
    shipping_paid=Decimal("9.50"),
    lot="B",
)


@cache
def scene() -> Scene:
    """A side of 1.1 m with five flaws, in a small photograph."""
    return hide_scene(SceneSpec(seed=3, megapixels=1.5, dark_flaws=2, holes=2, bleached=1))


def seen(backbone_deg: float = 0.0) -> SeenHide:
    """The scene as a perfect eye sees it."""
    true = scene()
    return SeenHide(
        picture=true.picture,
        view=true.view,
        outline=true.outline,
        expected_error_mm=ERROR_MM,
        covered=tuple(Polygon(sheet.corners_mm) for sheet in true.sheets),
        flaws=tuple(
            SeenFlaw(outline=flaw.outline, kind="stain", confidence=0.5 + place / 20)
            for place, flaw in enumerate(true.flaws)
        ),
        backbone_deg=backbone_deg,
    )
