"""The public names, sorted: all that a notebook or a script needs."""

from estimator.costing.break_even import break_even_quantity
from estimator.costing.cost_lines import CostKind, CostLine
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.price_book.price_book import PriceBook, Waste, WasteOf
from estimator.costing.price_book.reader import read_price_book
from estimator.costing.profit import PriceStep
from estimator.costing.promise import PlannedStep, Schedule
from estimator.costing.quick_method import with_waste
from estimator.costing.quote import Price, PriceLine, PricePart
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
from estimator.hide.hides import Flaw, FlawState, Hide, HidePhoto, HideZone, Tannage
from estimator.hide.reader import read_hide
from estimator.nesting.capacity import capacity
from estimator.nesting.checker import faults, verify
from estimator.nesting.effort import Effort, Efforts
from estimator.nesting.engine.settings import Budget, Moves, Seconds, Settings
from estimator.nesting.flaw_costs import FlawCost, flaw_costs
from estimator.nesting.nest import Progress, nest
from estimator.nesting.problem import (
    Blemish,
    Grade,
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
from estimator.nesting.shortage import why_not_all
from estimator.nesting.until_laid import Ending, Search, nest_until_laid
from estimator.nesting.worth import Left, left_of_sheet, worth_before_mm2
from estimator.pattern.blade_file.reader import read_draft
from estimator.pattern.blades import Blade
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.draft.drafting import Drafted, drafted
from estimator.pattern.draft_choices import Draft
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
from estimator.quality import Need, Spoil
from estimator.report.folder import write_outputs
from estimator.report.frames import cost_frame, takeoff_frame
from estimator.report.json_output.payload import payload
from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.pictures.layout import draw_plan
from estimator.report.pictures.timeline import draw_timeline
from estimator.report.screen.explain import explanations
from estimator.report.text.findings import Notice, notices
from estimator.report.text.messages import text
from estimator.stock.actuals import log as log_actual
from estimator.stock.jobs import accept as accept_job
from estimator.stock.jobs import cut as cut_job
from estimator.stock.jobs import drop as drop_job
from estimator.stock.jobs import finish as finish_job
from estimator.stock.jobs import record_quote
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather, leather_lots
from estimator.stock.ledger import receive as receive_stock
from estimator.stock.rates import RateReport, rate_reports
from estimator.stock.reorder import Policy, ReorderRow, reorder_list
from estimator.stock.shelf import Balance, balances
from estimator.stock.store.backups import back_up
from estimator.stock.store.database import Records, open_records
from estimator.stock.upkeep.audit import audit as audit_records
from estimator.stock.upkeep.restoring import restore
from estimator.takeoff.materials.leather import Charge
from estimator.takeoff.quantity import Quantity, Spread, Step, TakeOff
from estimator.units import Unit, Units
from estimator.workshop.batch import Batch, BatchRow, BreakEven, batch, break_even
from estimator.workshop.compare import Comparison, compared
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order, OrderLine
from estimator.workshop.order.prepare import nesting_problem
from estimator.workshop.order.reader import read_order
from estimator.workshop.recording import revision_from
from estimator.workshop.rule_of_thumb import ThumbEstimate
from estimator.workshop.sensitivity import Influence, influences

__all__ = [
    "Balance",
    "Batch",
    "BatchRow",
    "Belt",
    "Blade",
    "Blemish",
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
    "Effort",
    "Efforts",
    "Ending",
    "Estimate",
    "EstimatorError",
    "Face",
    "Fault",
    "Flaw",
    "FlawCost",
    "FlawState",
    "Grade",
    "Hand",
    "Hide",
    "HidePhoto",
    "HideZone",
    "Influence",
    "InputError",
    "Keep",
    "Layout",
    "LayoutError",
    "LeatherLot",
    "Left",
    "Level",
    "Margins",
    "Mate",
    "Mirror",
    "Moves",
    "Need",
    "Notice",
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
    "Policy",
    "Pose",
    "Price",
    "PriceBook",
    "PriceLine",
    "PricePart",
    "PriceStep",
    "Problem",
    "Progress",
    "Quantity",
    "RateReport",
    "Records",
    "Region",
    "ReorderRow",
    "Schedule",
    "Seam",
    "Search",
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
    "ThumbEstimate",
    "Tools",
    "Turn",
    "Unit",
    "Units",
    "Unplaced",
    "Variance",
    "Waste",
    "WasteOf",
    "Zone",
    "accept_job",
    "add_leather",
    "audit_records",
    "back_up",
    "balances",
    "batch",
    "break_even",
    "break_even_quantity",
    "capacity",
    "compared",
    "cost_frame",
    "cut_job",
    "drafted",
    "draw_plan",
    "draw_timeline",
    "drop_job",
    "estimate",
    "explanations",
    "faults",
    "finish_job",
    "flaw_costs",
    "fonts_for",
    "influences",
    "leather_lots",
    "left_of_sheet",
    "log_actual",
    "nest",
    "nest_until_laid",
    "nesting_problem",
    "notices",
    "open_records",
    "pattern_checks",
    "pattern_text",
    "payload",
    "rate_reports",
    "read_draft",
    "read_hide",
    "read_order",
    "read_pattern",
    "read_price_book",
    "receive_stock",
    "record_quote",
    "reorder_list",
    "restore",
    "revision_from",
    "score",
    "shopping_list",
    "stitch_holes",
    "stitch_line",
    "takeoff_frame",
    "text",
    "variance",
    "verify",
    "why_not_all",
    "with_waste",
    "worth_before_mm2",
    "write_outputs",
]
