"""The tables ``[blade]`` and ``[draft]`` of a file: what may be written in them."""

from enum import StrEnum
from itertools import pairwise
from typing import assert_never

from pydantic import ConfigDict, Field, model_validator

from estimator.drawing.reader import MarksField
from estimator.faults import refuse
from estimator.fields import (
    Choice,
    Choices,
    Count,
    CountFromZero,
    FileModel,
    Length,
    Name,
    PositiveLength,
    Share,
    ThicknessRange,
)
from estimator.pattern.belts import BELT_THICKNESS_MM
from estimator.pattern.blades import HandleSection
from estimator.pattern.draft_choices import Construction, Finished, Shown, Throat
from estimator.pattern.parts import Face

NEUTRAL_AXIS_SHARE = 0.5
GIRTH_CLEARANCE_MM = 4.0
EDGE_CLEARANCE_MM = 3.0
WELT_WIDTH_MM = 10.0
SEAM_DISTANCE_MM = 4.0
PITCH_MM = 4.0
BACKSTITCHES = 4
TIP_RADIUS_MM = 15.0
THROAT_DEPTH_MM = 8.0
BELT_CLEARANCE_MM = 3.0
LOOP_TAB_MM = 30.0
STRAP_WIDTH_MM = 18.0
STRAP_OVERLAP_MM = 40.0
KEEPER_WIDTH_MM = 20.0
KEEPER_OVERLAP_MM = 12.0
"""What holds where the maker says nothing: common practice, no source. The edge clearance is about
the 1/8 in, and the welt a little under the 1/2 in, that makers name."""


MOST_WELTS = 5
"""More layers of welt are wedges, and no draft. Common practice, no source."""

DRAFTED_NAMES = frozenset(
    ("body", "front", "back", "welt", "welt, edge side", "welt, spine side", "belt loop")
)
"""Parts that a draft may make by itself; straps and keepers take other names."""


class Direction(StrEnum):
    """A direction on the page."""

    RIGHT = "right"
    LEFT = "left"
    UP = "up"
    DOWN = "down"


class BladeStationTable(FileModel):
    """The blade at one place."""

    at: Length = Field(description="From the tip.")
    width: Length = Field(description="From spine to edge.")
    drop: Length = Field(default=0.0, description="How far the spine has sunk below its line.")


class BladeTable(FileModel):
    """The knife: traced, or measured at stations from the tip."""

    model_config = ConfigDict(
        json_schema_extra={"oneOf": [{"required": ["outline"]}, {"required": ["station"]}]}
    )

    outline: MarksField | None = Field(default=None, description="In the drawing, or typed.")
    tip: Choice[Direction] | None = Field(default=None, description="Where the tip points; right.")
    edge: Choice[Direction] | None = Field(default=None, description="Where the edge faces; down.")
    length: PositiveLength | None = Field(
        default=None, description="From the tip to where the handle begins."
    )
    station: tuple[BladeStationTable, ...] = Field(default=(), description="Or measured.")
    spine_thickness: PositiveLength = Field(description="Of the blade at its spine.")
    bevel: PositiveLength | None = Field(
        default=None,
        description="How far the bevel reaches up from the edge; left out, the blade is taken "
        "as thick at its edge as at its spine.",
    )
    handle_width: PositiveLength | None = Field(
        default=None, description="In line with the blade's width; a traced outline shows it."
    )
    handle_thickness: PositiveLength | None = Field(default=None, description="Across.")
    handle_section: Choice[HandleSection] = Field(
        default=HandleSection.OVAL, description="Shape of the handle, cut across."
    )

    @model_validator(mode="after")
    def _check_one_way(self) -> "BladeTable":
        if (self.outline is None) == (not self.station):
            raise refuse(
                "the blade needs its shape in exactly one way",
                "write outline = ..., or station = [{ at, width }, ...] measured from the tip",
            )
        if self.station and self.length is None:
            raise refuse('"length" is missing', "write how far it is from the tip to the handle")
        if self.station and (self.tip or self.edge):
            raise refuse("tip and edge belong to a traced outline", "leave them out")
        if self.outline is not None and self.handle_width is not None:
            raise refuse("the traced outline shows the handle's width", "leave handle_width out")
        return self

    @model_validator(mode="after")
    def _check_directions(self) -> "BladeTable":
        upright = {Direction.UP, Direction.DOWN}
        if ((self.tip or Direction.RIGHT) in upright) == ((self.edge or Direction.DOWN) in upright):
            raise refuse(
                "tip and edge must point across each other", 'such as tip = "right", edge = "down"'
            )
        return self

    @model_validator(mode="after")
    def _check_stations(self) -> "BladeTable":
        for before, after in pairwise(self.station):
            if after.at <= before.at:
                raise refuse(
                    f"the station at {after.at:g} mm comes after the one at {before.at:g} mm",
                    "list the stations from the tip to the handle, each once",
                )
        if self.station and self.length is not None and self.station[-1].at > self.length:
            raise refuse(
                f"a station lies {self.station[-1].at:g} mm from the tip, on a blade of "
                f"{self.length:g} mm",
                "measure from the tip, and let length reach to the handle",
            )
        if self.station and max(each.width for each in self.station) == 0.0:
            raise refuse("the blade has no width", "give stations with their widths")
        return self


class BeltLoopTable(FileModel):
    """A loop folded over a belt."""

    belt_width: PositiveLength = Field(description="Of the belt it goes over.")
    belt_thickness: PositiveLength = Field(default=BELT_THICKNESS_MM, description="Of that belt.")
    clearance: Length = Field(default=BELT_CLEARANCE_MM, description="Play along the width.")
    width: PositiveLength | None = Field(
        default=None, description="Of the strip; left out, what fits, up to 30 mm."
    )
    tab: PositiveLength = Field(default=LOOP_TAB_MM, description="Length sewn to the back.")


class StrapTable(FileModel):
    """A strap round the handle."""

    name: Name = Field(default="strap", description="Of the part; no two alike.")
    width: PositiveLength = Field(default=STRAP_WIDTH_MM, description="Of the strip.")
    overlap: Length = Field(default=STRAP_OVERLAP_MM, description="Of its two ends.")
    rivet: Name = Field(default="double-cap rivet", description="Item in the price book.")
    snap: Name = Field(default="line snap", description="Item in the price book.")


class KeeperTable(FileModel):
    """A band on the back."""

    name: Name = Field(default="keeper", description="Of the part; no two alike.")
    holds: tuple[PositiveLength, PositiveLength] = Field(
        description="Width and thickness of what it holds."
    )
    width: PositiveLength = Field(default=KEEPER_WIDTH_MM, description="Of the band.")
    overlap: PositiveLength = Field(default=KEEPER_OVERLAP_MM, description="Under its seam.")
    at: Length | None = Field(
        default=None, description="From the throat to its middle; left out, next to the loop."
    )


class DraftTable(FileModel):
    """How the sheath is built."""

    construction: Choice[Construction] = Field(
        default=Construction.FOLD_OVER,
        description="One body folded over the spine, or two bodies face to face.",
    )
    leather: ThicknessRange = Field(
        description="Thickness of all parts, single or a range: mm or oz (1/64 in)."
    )
    neutral_axis_share: Share = Field(
        default=NEUTRAL_AXIS_SHARE,
        validate_default=True,
        description="Where in a bend leather keeps its length: 0 inside face, 1 outside face.",
    )
    handle_covered: Length = Field(default=0.0, description="How much of the handle goes in.")
    clearance: Length = Field(
        default=GIRTH_CLEARANCE_MM, description="Round the knife, for wet forming."
    )
    edge_clearance: Length = Field(
        default=EDGE_CLEARANCE_MM, description="Between blade and welt, at edge and tip."
    )
    welt_width: PositiveLength = Field(
        default=WELT_WIDTH_MM, description="From the cut edge inwards; more than seam_distance."
    )
    welts: Count = Field(default=1, description="Layers of welt.")
    seam_distance: PositiveLength = Field(
        default=SEAM_DISTANCE_MM, description="From the cut edge to the stitch line."
    )
    seam_start: Length | None = Field(
        default=None, description="From the throat to the first hole; left out, seam_distance."
    )
    seam_end: Length | None = Field(
        default=None, description="From the fold line to the last hole of a fold-over."
    )
    pitch: PositiveLength = Field(
        default=PITCH_MM, description="Between holes; fitted to whole stitches along the seam."
    )
    glue_width: Length | None = Field(default=None, description="Left out, the welt's width.")
    backstitches: CountFromZero = Field(
        default=BACKSTITCHES, description="Stitches sewn twice, at both ends together."
    )
    thread: Name = Field(default="waxed thread", description="Item in the price book.")
    throat: Choice[Throat] = Field(
        default=Throat.STRAIGHT, description="Shape of the opening, seen from the front."
    )
    throat_depth: Length | None = Field(default=None, description="Of a curved or slanted one.")
    tip_radius: Length = Field(
        default=TIP_RADIUS_MM, description="Of the outer corners at the tip."
    )
    drain_gap: Length = Field(default=0.0, description="Welt left out at the tip, for water.")
    dyed: Choices[Face] = Field(
        default=frozenset({Face.GRAIN}),
        description="Faces of the seen parts that take dye.",
        json_schema_extra={"default": ["grain"]},
    )
    finish_edges: Choice[Finished] = Field(
        default=Finished.ALL, description="Edges bevelled and burnished."
    )
    show: Choice[Shown] = Field(default=Shown.FRONT, description="Faces that will be seen.")
    belt_loop: BeltLoopTable | None = Field(default=None, description="On the back.")
    strap: tuple[StrapTable, ...] = Field(default=(), description="Round the handle.")
    keeper: tuple[KeeperTable, ...] = Field(default=(), description="On the back.")

    @model_validator(mode="after")
    def _check_consistency(self) -> "DraftTable":
        if self.throat is Throat.STRAIGHT and self.throat_depth:
            raise refuse(
                "throat_depth belongs to a curved or slanted throat",
                'write throat = "curved", or leave throat_depth out',
            )
        match self.construction:
            case Construction.FOLD_OVER:
                pass
            case Construction.POUCH:
                if self.seam_end is not None:
                    raise refuse(
                        "seam_end is measured from a fold line; a pouch has no fold line",
                        "leave it out; both ends of the seam keep seam_start from the throat",
                    )
            case other:
                assert_never(other)
        if self.welts > MOST_WELTS:
            raise refuse(f"welts is {self.welts}", f"write 1 to {MOST_WELTS}")
        taken = set(DRAFTED_NAMES)
        for name in [*(each.name for each in self.strap), *(each.name for each in self.keeper)]:
            if name in taken:
                raise refuse(f'there are two parts named "{name}"', "give it another name")
            taken.add(name)
        return self
