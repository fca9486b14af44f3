# How figures came about: the formula with its numbers in it.

one-by-one = { LIST($terms) }
sum-by-causes = { LIST($terms, by: " + ") }; { range-rule }
range-rule = range: spreads of one rate add up; those of different rates combine as the root of the sum of their squares
learned = ({ $basis }) x { FIGURE($factor, digits: 3) }, learned from { $jobs ->
    [one] 1 job
   *[other] { $jobs } jobs
}

# Leather

sum-of-outlines = sum of the parts' outlines
sum-over-hides = sum over the hides cut into
yield = parts { FIGURE($net_dm2, decimals: 2) } / consumed { FIGURE($consumed_dm2, decimals: 2) }
leather-per-sheath = consumed { FIGURE($consumed_dm2, decimals: 2) } x its parts { FIGURE($own_dm2, decimals: 2) } / all parts { FIGURE($net_dm2, decimals: 2) }
whole-hide = the whole hide, { FIGURE($hide_dm2, decimals: 2) }, although offcuts of { FIGURE($kept_dm2, decimals: 2) } are kept
hide-used-up = hide { FIGURE($hide_dm2, decimals: 2) } x share used up { FIGURE($used, decimals: 3) }: worth { FIGURE($before_dm2, decimals: 2) } before, { FIGURE($after_dm2, decimals: 2) } after
hide-worth-nothing = hide { FIGURE($hide_dm2, decimals: 2) } x share used up { FIGURE($used, decimals: 3) }: nothing of it is worth keeping, so the first cut uses it up

# Thread and holes

thread-larger = the larger of two models: { $larger ->
    [geometry] stitch geometry { FIGURE($geometry_m, decimals: 2) }, the multiplier { FIGURE($multiplier_m, decimals: 2) }
   *[multiplier] the multiplier { FIGURE($multiplier_m, decimals: 2) }, stitch geometry { FIGURE($geometry_m, decimals: 2) }
}
thread-by-rule = seams { FIGURE($seam_m, decimals: 3) } x { FIGURE($multiplier, given: 1) }
thread-by-geometry = { $line }, { $seam }: { $sheaths } x (({ $stitches } stitches + { $backstitches } backstitches) x 2 x ({ FIGURE($pitch_mm, decimals: 3) } + { FIGURE($stack_mm, decimals: 2) }) + 2 tails x { FIGURE($tail_mm, given: 1) }){ LIST($uneven) }{ $waste_factor ->
    [1] {""}
   *[other] { " " }x { FIGURE($waste_factor, given: 1) }
}
uneven-stack = , the stack { FIGURE($low_mm, decimals: 2, bare: 1) } to { FIGURE($high_mm, decimals: 2) } along the seam
thread-by-machine = if machine-sewn: needle { FIGURE($needle_m, decimals: 2) } + bobbin { FIGURE($bobbin_m, decimals: 2) }, x { FIGURE($waste_factor, given: 1) } for waste
size-for-seam = { $line }, { $seam }: { FIGURE($low_mm, decimals: 2, bare: 1) } to { FIGURE($high_mm, decimals: 2) } at a pitch of { FIGURE($pitch_mm, given: 1) } through { FIGURE($stack_mm, decimals: 2) }
stitches-along = { $line }, { $seam }: { $sheaths } x { $count } ({ FIGURE($seam_mm, decimals: 0) } at { FIGURE($pitch_mm, given: 1) }, { FIGURE($per_inch, decimals: 1) } per inch)
holes-by-iron = { $line }, { $seam }: { $sheaths } x { $strikes ->
    [one] 1 strike
   *[other] { $strikes } strikes
} of { $tines } tines for { $holes ->
    [one] 1 hole
   *[other] { $holes } holes
}{ $sides ->
    [2] { " " }x 2 sides
   *[1] {""}
} (stack { FIGURE($stack_mm, decimals: 2) })
holes-by-awl = { $line }, { $seam }: { $sheaths } x { $holes ->
    [one] 1 hole
   *[other] { $holes } holes
} (stack { FIGURE($stack_mm, decimals: 2) })
counted = { $line }: { $sheaths } x { $each }

# Glue, dye, oil, wax, what wears out

in-coats = { $coats ->
    [one] 1 coat
   *[other] { FIGURE($coats, given: 1) } coats
}
glue-by-area = { $faces ->
    [one] 1 face
   *[other] { FIGURE($faces, given: 1) } faces
} x bonded area { FIGURE($area_cm2, decimals: 1) } x { in-coats } x { FIGURE($rate_ml_per_m2, given: 1) } x { FIGURE($waste_factor, given: 1) } for waste in the pot; { range-rule }
dye-by-area = { FIGURE($area_cm2, decimals: 1) } of { $tannage } leather x { in-coats } x { FIGURE($rate_ml_per_m2, given: 1) } x { LIST($factors, by: " x ") }
oil-by-area = faces dyed or shown { FIGURE($area_cm2, decimals: 1) } of { $tannage } leather x { in-coats } x { FIGURE($rate_ml_per_m2, given: 1) } x { LIST($factors, by: " x ") }
for-absorbency = { FIGURE($factor, given: 1) } for absorbency
for-rough-fibre = { FIGURE($factor, given: 1) } for rough fibre
for-tannage = { FIGURE($factor, given: 1) } for tannage
for-damping = { FIGURE($factor, given: 1) } for damping
dye-on = { $place ->
    [item-grain-side] grain side
    [item-flesh-side] flesh side
   *[item-edges] edges
} { FIGURE($dye_ml, decimals: 2) }
wax-on-edges = finished edges { FIGURE($edge_m, decimals: 2) } x { $passes ->
    [one] 1 pass
   *[other] { FIGURE($passes, given: 1) } passes
} x { FIGURE($rate_g_per_m, given: 1) }
wax-on-faces = faces { FIGURE($area_cm2, decimals: 1) } x { FIGURE($rate_g_per_m2, given: 1) }
worn-blades = { FIGURE($worked_m, decimals: 2) } cut line x { FIGURE($rate_blades_per_m, given: 1) }
worn-sheets = { FIGURE($worked_m, decimals: 2) } closed edge x { FIGURE($rate_sheets_per_m, given: 1) }
worn-needles = { FIGURE($worked_m, decimals: 2) } thread x { FIGURE($rate_needles_per_m, given: 1) }

# Work and waiting

set-up = set-up { FIGURE($setup_min, given: 1) }
set-up-with = set-up shared with "{ $step }"
work-of-step = { LIST($terms, by: " + ") } ({ FIGURE($low_min, decimals: 0, bare: 1) } to { FIGURE($high_min, decimals: 0) })
work-then-wait = { $work }; then wait { FIGURE($low_min, decimals: 0, bare: 1) } to { FIGURE($high_min, decimals: 0) }: { $wait_for }
work-cut = { FIGURE($cut_m, digits: 4) } cut line x { FIGURE($rate_min_per_m, given: 1) }
work-pieces = { $pieces ->
    [one] 1 piece
   *[other] { $pieces } pieces
} x { FIGURE($rate_min_per_piece, given: 1) }
work-coats = { FIGURE($area_m2, digits: 4) } over { in-coats } x { FIGURE($rate_min_per_m2, given: 1) }
work-dyed-edge = { FIGURE($edge_m, digits: 4) } dyed edge over { in-coats } x { FIGURE($rate_min_per_m, given: 1) }
work-edge = { FIGURE($edge_m, digits: 4) } edge{ $passes ->
    [one] {""}
   *[other] { " " }over { FIGURE($passes, given: 1) } passes
} x { FIGURE($rate_min_per_m, given: 1) }
work-glue = { FIGURE($seam_m, digits: 4) } glued seam x { FIGURE($rate_min_per_m, given: 1) }
work-joins = { $joins ->
    [one] 1 join
   *[other] { $joins } joins
} x { FIGURE($rate_min_per_join, given: 1) }
work-groove = { FIGURE($seam_m, digits: 4) } seam x { FIGURE($rate_min_per_m, given: 1) }
work-iron = { $holes ->
    [one] 1 hole
   *[other] { $holes } holes
} by iron, each side counted x { FIGURE($rate_min_per_hole, given: 1) }
work-awl = { $holes ->
    [one] 1 hole
   *[other] { $holes } holes
} by awl x { FIGURE($rate_min_per_hole, given: 1) }
work-stitch = { $stitches ->
    [one] 1 stitch
   *[other] { $stitches } stitches
} x { FIGURE($rate_min_per_stitch, given: 1) }
work-closed-edge = { FIGURE($edge_m, digits: 4) } closed edge x { FIGURE($rate_min_per_m, given: 1) }
work-sheaths = { $sheaths ->
    [one] 1 sheath
   *[other] { $sheaths } sheaths
} x { FIGURE($rate_min_per_sheath, given: 1) }
minutes-of-step = { $step } { FIGURE($time_min, decimals: 1) }
longest-wait = longest chain of waits: { LIST($terms, by: " + ") }
no-wait = none

# Cost

rate-and-amount = { $rate }; { $amount } = { $how }
paid-by-area = paid { $paid }{ $shipping ->
    [0] {""}
   *[other] , { $shipping } of it shipping,
} / measured { FIGURE($hide_dm2, decimals: 2) }
paid-less-carried = paid { $paid }{ $offcuts ->
    [0] , and no offcut carries on a share of it
    [one] { " " }- { $carried } that 1 offcut carries on
   *[other] { " " }- { $carried } that { $offcuts } offcuts carry on
}
paid-for-pack = { $price }{ $shipping ->
    [0] {""}
   *[other] { " " }+ { $shipping } shipping
} for { $unit ->
    [piece] { $pack ->
        [one] 1 piece
       *[other] { $pack } pieces
    }
   *[other] { FIGURE($pack, $unit, given: 1) }
}
bench-time = { FIGURE($work_min, decimals: 1) } at the bench; waiting is not paid
each-bench-hour = for each hour at the bench
for-whole-batch = for the whole batch
money-of = { $what } { $amount }
sum-of-lines = { LIST($lines, by: " + ") }
share-from = { $sum }; share from { $year }
yearly-cost = a year: { LIST($terms, by: " + ") } = { $yearly }, over { FIGURE($work_h, given: 1) }
yearly-cost-of-labour = { $cost } x { $per_hour } = { $labour } of labour
leather-by-thumb = outside measure { FIGURE($outside_dm2, decimals: 2) } { $formula } = { FIGURE($bought_dm2, decimals: 2) } at { LIST($rates, by: ", ") }
thumb-on-parts = { $waste_share } on the parts
thumb-of-bought = { $waste_share } of the leather bought
waste-on-parts = x (1 + { $waste })
waste-of-bought = / (1 - { $waste })
mean-rate = { FIGURE($rate_money_per_dm2, decimals: 4, digits: 4) } ({ $hides })
mean-of-hides = mean of { LIST($hides, by: ", ") }

# Price

sum-of-cost-lines = sum of the cost lines
markup = cost { $cost } x { $profit_share }
margin = cost { $cost } / (1 - { $profit_share }) - cost { $cost }
minimum-charge = minimum charge { $least } - { $wanted }
payment-fee = gross { $gross } x { $fee_share } + { $fixed }
rounding = the price of each sheath { $is_nearest ->
    [yes] to the nearest multiple
   *[no] raised to a multiple
} of { $step }{ $less ->
    [0] {""}
   *[other] , less { $less }
}
price = cost { $cost } with { $method ->
    [markup] markup
    [margin] margin
   *[other] { $method }
} { $profit_share } = { $wanted }{ $least ->
    [0] {""}
   *[other] , minimum charge { $least }
}{ $fee ->
    [0] {""}
   *[other] , payment fee { $fee }
}; { LIST($lines, by: " + ") } (each { $is_nearest ->
    [yes] rounded
   *[no] raised
} to a multiple of { $step }{ $less ->
    [0] {""}
   *[other] { " " }less { $less }
}) = { $net }
price-of-line = { $line } { $sheaths } x { $each }

# Drafts

bend-allowance = { FIGURE($angle_deg, given: 1, bare: 1) } deg x ({ FIGURE($inside_radius_mm, decimals: 2) } inside radius + { FIGURE($neutral_axis, given: 1) } x { FIGURE($thickness_mm, decimals: 2) }) = { FIGURE($allowance_mm, decimals: 2) } along the neutral axis
inside-of-pocket = Inside of the pocket: { $construction ->
    [fold-over] 2 x depth on the flat - pi x { FIGURE($neutral_axis, given: 1) } x thickness + { $welts } x thickness of welt
   *[pouch] 2 x (width on the flat + { $welts } x thickness of welt)
}; at least the knife and { FIGURE($clearance_mm, given: 1) }.
welt-short-of-fold = The welt stops { FIGURE($short_mm, decimals: 2) } short of the fold line: one thickness of leather{ $is_drained ->
    [yes] , and the drain gap.
   *[no] .
}
corners-at-tip = Outer corners at the tip: { FIGURE($radius_mm, decimals: 1) } radius{ $is_as_asked ->
    [yes] .
   *[no] ; asked for { FIGURE($asked_mm, given: 1) }, but welt and blade do not allow it.
}

# What to buy

jobs-lack-it = accepted jobs lack it
not-in-price-book = it is not in the price book
under-reorder-point = under its reorder point
stock-too-old = { $unit ->
    [piece] { FIGURE($amount, given: 1) }
   *[other] { FIGURE($amount, $unit, given: 1) }
} are too old
point-of-book = { $unit ->
    [piece] { FIGURE($amount, given: 1) } pieces
   *[other] { FIGURE($amount, $unit, given: 1) }
} by the price book
point-by-demand = { $unit ->
    [piece] { FIGURE($daily, digits: 3) } pieces a day x { $lead } d + { FIGURE($service, decimals: 2) } x { FIGURE($sigma, digits: 3) } x sqrt({ $lead }) = { FIGURE($point, digits: 3) } pieces
   *[other] { FIGURE($daily, $unit, digits: 3) } a day x { $lead } d + { FIGURE($service, decimals: 2) } x { FIGURE($sigma, $unit, digits: 3, bare: 1) } x sqrt({ $lead }) = { FIGURE($point, $unit, digits: 3) }
}
cheapest-by-packs = cheapest by { $packs ->
    [one] 1 pack
   *[other] { $packs } packs
} at a time
