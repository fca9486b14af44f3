"""The public names, sorted: all that a notebook or a script needs."""

from estimator.costing.book_estimate import FlatRate, flat_rate, with_waste
from estimator.costing.break_even import break_even_quantity
from estimator.costing.cost_lines import CostKind, CostLine
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.price_book import PriceBook, Waste, WasteOf
from estimator.costing.promise import PlannedStep, Schedule
from estimator.costing.quote import Price, PriceLine, PricePart
from estimator.costing.reader import read_price_book
from estimator.costing.shopping import shopping_list
from estimator.costing.variance import Variance, variance
from estimator.errors import (
    Check,
    EstimatorError,
    Fault,
    InputError,
    LayoutError,
    Level,
    Place,
    StoppedError,
)
from estimator.geometry.pose import Pose
from estimator.hide.hides import Flaw, Hide, Tannage
from estimator.hide.reader import read_hide
from estimator.nesting.capacity import capacity
from estimator.nesting.checker import faults, verify
from estimator.nesting.engine.settings import Budget, Moves, Seconds, Settings
from estimator.nesting.nest import Progress, nest
from estimator.nesting.problem import (
    Blemish,
    Keep,
    Layout,
    Margins,
    Mirror,
    Objective,
    Piece,
    Placement,
    Problem,
    Sheet,
    Turn,
    Unplaced,
    Zone,
)
from estimator.nesting.score import SheetUse, score
from estimator.pattern.blade_reader import read_draft
from estimator.pattern.blades import Blade
from estimator.pattern.checks import pattern_checks
from estimator.pattern.draft.drafting import Drafted, drafted
from estimator.pattern.drafts import Draft
from estimator.pattern.parts import (
    Belt,
    Face,
    Hand,
    Mate,
    Part,
    PartKind,
    Pattern,
    Region,
    Seam,
    Stretch,
)
from estimator.pattern.reader import read_pattern
from estimator.pattern.stitches import StitchLine, stitch_holes, stitch_line
from estimator.pattern.tools import Tools
from estimator.pattern.writer import pattern_text
from estimator.quality import Need, Spoil, spoils
from estimator.report.explain import explanations
from estimator.report.folder import write_outputs
from estimator.report.fonts import fonts_for
from estimator.report.paper import Paper
from estimator.report.payload import payload
from estimator.report.plan import draw_plan
from estimator.report.tables import cost_frame, takeoff_frame
from estimator.report.timeline import draw_timeline
from estimator.takeoff.leather import Charge
from estimator.takeoff.quantity import Quantity, Spread, Step, TakeOff
from estimator.units import Unit
from estimator.workshop.batch import Batch, BatchRow, BreakEven, batch, break_even
from estimator.workshop.book import BookEstimate
from estimator.workshop.compare import Comparison, compared
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order import Order, OrderLine, Units
from estimator.workshop.prepare import nesting_problem
from estimator.workshop.reader import read_order
from estimator.workshop.sensitivity import Influence, influences

__all__ = [
    "Batch",
    "BatchRow",
    "Belt",
    "Blade",
    "Blemish",
    "BookEstimate",
    "BreakEven",
    "Budget",
    "Charge",
    "Check",
    "Comparison",
    "CostKind",
    "CostLine",
    "CostSheet",
    "Draft",
    "Drafted",
    "Estimate",
    "EstimatorError",
    "Face",
    "Fault",
    "FlatRate",
    "Flaw",
    "Hand",
    "Hide",
    "Influence",
    "InputError",
    "Keep",
    "Layout",
    "LayoutError",
    "Level",
    "Margins",
    "Mate",
    "Mirror",
    "Moves",
    "Need",
    "Objective",
    "Order",
    "OrderLine",
    "Paper",
    "Part",
    "PartKind",
    "Pattern",
    "Piece",
    "Place",
    "Placement",
    "PlannedStep",
    "Pose",
    "Price",
    "PriceBook",
    "PriceLine",
    "PricePart",
    "Problem",
    "Progress",
    "Quantity",
    "Region",
    "Schedule",
    "Seam",
    "Seconds",
    "Settings",
    "Sheet",
    "SheetUse",
    "Spoil",
    "Spread",
    "Step",
    "StitchLine",
    "StoppedError",
    "Stretch",
    "TakeOff",
    "Tannage",
    "Tools",
    "Turn",
    "Unit",
    "Units",
    "Unplaced",
    "Variance",
    "Waste",
    "WasteOf",
    "Zone",
    "batch",
    "break_even",
    "break_even_quantity",
    "capacity",
    "compared",
    "cost_frame",
    "drafted",
    "draw_plan",
    "draw_timeline",
    "estimate",
    "explanations",
    "faults",
    "flat_rate",
    "fonts_for",
    "influences",
    "nest",
    "nesting_problem",
    "pattern_checks",
    "pattern_text",
    "payload",
    "read_draft",
    "read_hide",
    "read_order",
    "read_pattern",
    "read_price_book",
    "score",
    "shopping_list",
    "spoils",
    "stitch_holes",
    "stitch_line",
    "takeoff_frame",
    "variance",
    "verify",
    "with_waste",
    "write_outputs",
]
