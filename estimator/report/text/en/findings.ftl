# Findings, by their code, each with what can be done about it; below them what they name.


## Stacks, stitch lines, parts

stack-over-awl = { $pattern }: seam "{ $seam }" goes through { stack }; the longest awl blade reaches { FIGURE($reach_mm, given: 1) }
    .remedy = sew the layers in two goes, use thinner leather, or skive the stack

stack-over-tines = { LIST($seams) }
    .remedy = mark both faces and punch from both sides, or make the holes with an awl

seam-over-tines = { $pattern }: seam "{ $seam }" goes through { stack }, over the tine reach of { FIGURE($reach_mm, given: 1) }

stack = { LIST($layers, by: " + ") } = { FIGURE($stack_mm, decimals: 2) }

layer-of-stack = { $part } { FIGURE($thickness_mm, decimals: 2, bare: 1) }

seam-without-thread = { $pattern }: seam "{ $seam }" names no thread, so its thread is neither counted nor priced
    .remedy = name a thread from the price book in the pattern: thread = "waxed thread"

seam-off-part = { $pattern }: seam "{ $seam }" runs up to { FIGURE($off_mm, decimals: 1) } outside { $part }
    .remedy = draw the stitch line within the part it is marked on

seam-misses-part = { $pattern }: seam "{ $seam }" should hold { $part }, but runs { FIGURE($off_mm, decimals: 1) } beside it
    .remedy = move the stitch line or { $part }, or take it out of the seam's layers

stitch-near-edge = { $pattern }: seam "{ $seam }" comes within { FIGURE($gap_mm, decimals: 1) } of the edge of { $part }; the shop keeps { FIGURE($kept_mm, given: 1) }
    .remedy = move the stitch line in, or cut the part wider: thread tears out of a thin edge

part-not-attached = { $pattern }: no seam, hardware or join attaches { LIST($parts, by: ", ") } to the body
    .remedy = name the part in a seam's layers, in what hardware joins, or in a [[join]]

glued-face-dyed = { $pattern }: { LIST($faces, by: ", ") } would be dyed before the welt is glued
    .remedy = leave faces glued to a welt undyed and scuffed, and dye after gluing

face-of-part = the { $face } face of { $part }


## Holes

holes-unknown = { $pattern }: seam "{ $seam }" goes through { $part } twice, but { $part } has no fold line, so its second row of holes is not laid out
    .remedy = draw its fold line, or the second row: [[seam.mate]] with part and path

hole-near-edge =
    { $pattern }: seam "{ $seam }" has { $holes ->
        [one] a hole
       *[other] { $holes } holes
    } within { FIGURE($gap_mm, decimals: 1) } of the edge of { $part }; at a pitch of { FIGURE($pitch_mm, given: 1) } keep { FIGURE($wanted_mm, decimals: 1) }
    .remedy = move the stitch line in, cut the part wider, or sew at a smaller pitch

hole-off-mate = { $pattern }: seam "{ $seam }": { $off } of its { $holes } holes lie off { mated-part }
    .remedy = make both edges alike, mirrored in the fold line, or shorten the seam

mated-lengths-differ = { $pattern }: seam "{ $seam }" is { FIGURE($marked_mm, decimals: 1) } long on { $marked } and { FIGURE($mated_mm, decimals: 1) } on { mated-part }; edges can be eased by { FIGURE($most_mm, decimals: 1) }
    .remedy = make the two stitch lines equally long; where the longer edge is meant to be gathered, mark every tenth hole on both and sew from mark to mark

mated-edges-apart =
    { $pattern }: seam "{ $seam }": the edge of { mated-part } lies { FIGURE($gap_mm, decimals: 1) } { $is_outside ->
        [yes] outside
       *[no] inside
    } that of { $marked } over { $holes } holes
    .remedy = cut both edges alike, or trim them flush after gluing

mated-part =
    { $is_folded ->
        [yes] the folded half of { $part }
       *[no] { $part }
    }

stitch-uneven = { $pattern }: seam "{ $seam }" has stitches of { LIST($stitches_mm, by: ", ", last: " and ") } instead of { FIGURE($pitch_mm, given: 1) }, because a short stretch between ends and corners is divided evenly
    .remedy = make the stretch a whole number of stitches long, or the pitch smaller

hole-near-corner = { $pattern }: seam "{ $seam }" has a hole nearer to a corner than the { FIGURE($kept_mm, given: 1) } it keeps, since an end of the seam must have its hole
    .remedy = end the seam farther from the corner, or allow a smaller distance

backstitches-over-stitches = { $pattern }: seam "{ $seam }" has { $stitches } stitches, but { $twice } of them are to be sewn twice
    .remedy = sew fewer stitches twice, or make the seam longer


## Welts

welt-too-narrow = { $pattern }: { $welt } at seam "{ $seam }" { $fault }
    .remedy = cut the welt wider, or move the stitch line towards the cut edge

welt-width = is { FIGURE($width_mm, decimals: 1) } wide; the shop keeps { FIGURE($kept_mm, given: 1) } between stitch line and blade and { FIGURE($outside_mm, given: 1) } outside the stitch line, so { FIGURE($least_mm, given: 1) } in all

welt-beside-seam = misses its stitch line, which runs { FIGURE($off_mm, decimals: 1) } beside the welt

welt-inside-seam = leaves { FIGURE($inside_mm, decimals: 1) } inside the stitch line; the shop keeps { FIGURE($kept_mm, given: 1) } between stitch line and blade

welt-at-fold = { $pattern }: { $welt } stops { FIGURE($gap_mm, decimals: 1) } from the fold line of { $part }, whose leather is { FIGURE($thickness_mm, decimals: 2) } thick
    .remedy = let the welt stop one leather thickness short of the fold


## Folds and belts

fold-too-tight = { $pattern }: { $part } of { FIGURE($thickness_mm, decimals: 2) } is folded round an inside radius of { FIGURE($radius_mm, decimals: 2) }; below { $times } x its thickness, { FIGURE($least_mm, decimals: 2) }, grain cracks
    .remedy = gouge or skive the flesh side along the fold and case it well, use thinner leather, lay a thicker welt in, or make it of two pieces

loop-too-tight = { $pattern }: { $part } leaves { FIGURE($room_mm, decimals: 1) } for a belt of { belt-section }, which needs { FIGURE($wanted_mm, decimals: 1) }
    .remedy = make the loop longer, or set its seams farther apart

slot-too-tight = { $pattern }: { $part } has a slot of { LIST($slots, by: " and one of ") }, which does not pass a belt of { belt-section }
    .remedy = cut the slot a little longer and wider than the belt's section, unless it is not for the belt

slot-size = { FIGURE($length_mm, decimals: 1, bare: 1) } x { FIGURE($width_mm, decimals: 1) }

belt-section = { FIGURE($width_mm, given: 1, bare: 1) } x { FIGURE($thickness_mm, given: 1) }


## Outlines

outline-sliver = { $pattern }: { $part } is narrower than { FIGURE($limit_mm, given: 1) } over { FIGURE($length_mm, decimals: 1) }{ more-places }
    .remedy =
        widen it, or round the point off: { $is_hair ->
            [yes] a knife cannot cut that
           *[no] so thin a strip tears off
        }

outline-slit = { $pattern }: { $part } has a gap narrower than { FIGURE($limit_mm, given: 1) } over { FIGURE($length_mm, decimals: 1) }{ more-places }
    .remedy = open it to { FIGURE($limit_mm, given: 1) }, or cut it as one slit with a round hole punched at its end, so that it does not tear on

inside-corner-sharp = { $pattern }: { $part } is cut in at { FIGURE($opening_deg, decimals: 0, bare: 1) } degrees{ more-places }; below { FIGURE($least_deg, decimals: 0, bare: 1) } degrees leather tears from the corner
    .remedy = open the corner, or punch a round hole at its end and cut up to that

more-places =
    { $others ->
        [0] { "" }
        [one] , and in { $others } more place
       *[other] , and in { $others } more places
    }


## Blade and draft

blade-against-pocket =
    { $pattern }: { FIGURE($at_mm, decimals: 0) } in, the pocket of { $part } is { FIGURE($inside_mm, decimals: 1) } round and the knife { FIGURE($girth_mm, decimals: 1) }; { $goes_in ->
        [yes] the clearance asked for is { FIGURE($clearance_mm, given: 1) }
       *[no] it does not go in
    }
    .remedy = move seam and welt outwards, or draft the pattern again for this blade and leather

pocket-not-compared = { $pattern }: the knife is not compared with the pocket, since "{ $seam }" joins more than two bodies
    .remedy = try the knife in a pocket of scrap before cutting

draft-out-of-date = { $pattern }: parts no longer follow from [blade] and [draft]: { LIST($changes) }
    .remedy = redraw them with estimator pattern draft, or take [blade] and [draft] out if the parts were changed on purpose

drafted-part-missing = { $part } is missing

drafted-part-moved = { $part } is off by { FIGURE($off_mm, decimals: 1) }

drafted-leather-changed = { $part } is of { THICKNESS($was_low_mm, $was_high_mm) } leather instead of { THICKNESS($low_mm, $high_mm) }

drafted-copies-changed = { $part } is cut { $was } times instead of { $now }

drafted-seam-missing = seam "{ $seam }" is missing

drafted-seam-moved = seam "{ $seam }" is off by { FIGURE($off_mm, decimals: 1) }


## Leather

leather-thickness = { $piece } needs leather of { THICKNESS($low_mm, $high_mm) }; { LIST($hides) }
    .remedy = offer a hide whose whole range lies within that, or widen the part's range

hide-misfit =
    { $hide } is { THICKNESS($low_mm, $high_mm) }, { $misfit ->
        [thin] too thin
        [thick] too thick
       *[uneven] too uneven
    }

part-larger-than-hides = { $piece } is { $size } and larger than any hide it may be cut from in the directions allowed ({ LIST($hides) }; edge margin { FIGURE($edge_mm, given: 1) })
    .remedy = offer a larger hide, allow another direction, or cut the part in two

hide-and-size = { $hide } { $size }

size-and-area = { LENGTH($width_mm) } x { LENGTH($height_mm) } ({ AREA($area_mm2) })

stamp-against-outline =
    { $hide } is stamped { AREA($stamped_mm2) } but its outline measures { AREA($drawn_mm2) }: the stamp says { FIGURE($off_share, decimals: 0) } { $is_less ->
        [yes] less
       *[no] more
    }
    .remedy = measure the hide again; layout and cost follow the outline

hide-without-price = { $hide } cost nothing, so its leather is not in the price
    .remedy = write what was paid for it with shipping: price_paid

flaws-proposed =
    { $hide } has { $flaws ->
        [one] { $flaws } flaw
       *[other] { $flaws } flaws
    } proposed from its photograph that nobody has looked at; the layout keeps off them as if they were holes
    .remedy = look at the leather, then confirm or drop each: estimator hide confirm with the map of { $hide }, and --all, or --flaw and --drop with their numbers

leather-not-seen =
    { $covered ->
        [one] { $covered } place
       *[other] { $covered } places
    } on { $hide } lay under a sheet in its photograph; the layout keeps off that leather
    .remedy = if the leather there is sound: estimator hide confirm with the map of { $hide } and --clean-sheet

tannage-for-wet-forming = { $line } is formed wet, but would be cut from { LIST($hides, by: ", ") }: such leather hardly takes a wet form, and its salts can stain steel
    .remedy = cut it from vegetable-tanned leather

tannage-against-steel = { $line } would be cut from { LIST($hides, by: ", ") }, whose salts can stain or corrode steel
    .remedy = line it with vegetable-tanned leather, or use such leather throughout

hide-and-tannage = { $hide } ({ $tannage })


## Layout

does-not-fit =
    { $ending ->
        [proved] not everything can fit, since { LIST($proof) }
        [spent] the longest search found no layout of all parts, but there is no proof that none exists
       *[stopped] the search was stopped before it found a layout of all parts; there may be one
    }: no room for { LIST($parts) }; complete sheaths: { LIST($sheaths, by: ", ") }; the price lacks the leather for what is missing
    .remedy = offer about { AREA($least_mm2) } to { AREA($most_mm2) } more leather of the right thickness (parts of { AREA($area_mm2) } at yields of { FIGURE($high_share, bare: 1) } to { FIGURE($low_share) }), with clear room for { $largest }; a clear rectangle of { LENGTH($clear_width_mm) } x { LENGTH($clear_height_mm) } would hold them all; or order fewer sheaths

parts-left-over = { $copies } of { $wanted } { $piece } ({ why-left-over })

complete-sheaths = { $complete } of { $wanted } { $line }

why-left-over =
    { $reason ->
        [NO_SHEET] there is no hide it may be cut from
        [TOO_LARGE] it is larger than any hide it may be cut from, edge margin included
        [NO_SOUND_PLACE] flaws leave no sound place of its size on any hide it may be cut from
        [NO_ROOM_IN_LOT] no room is left beside the other parts of its colour lot
       *[NO_ROOM] no room is left beside the other parts
    }

piece-without-sheet = there is no leather that { $piece } may be cut from

piece-over-ground = { $piece } is larger than the sound ground of any leather it may be cut from

sheets-overfull =
    the parts that must come from { LIST($sheets, by: ", ", last: " and ") } take { FIGURE($wanted_dm2, decimals: 2) } of { $of ->
        [show] leather free of fades and stains
        [load] firm leather
       *[all] leather, distances included
    }, and only { FIGURE($found_dm2, decimals: 2) } of it can be used there

cut-from-the-middle =
    { $hide }: parts come from the middle of what is left; this { $cuts_out ->
        [yes] cuts out { LIST($flaws, by: " and ") }, and { island-saving }
       *[no] { island-saving }
    } compared with the best layout cut from the edges
    .remedy = to keep the middle whole, forbid it in the order: [[forbidden]]

island-saving =
    { $saves ->
        [yes] saves { FIGURE($saved_share, decimals: 1) } of the leather's cost
       *[no] is the best found
    }

low-yield = { $hide }: parts fill { FIGURE($yield_share, decimals: 0) } of the leather consumed
    .remedy = offer a smaller piece or an offcut, or add sheaths to the order


## Prices, dates, thread

missing-price = the price book has no price for { $item }
    .remedy = add a [[rate]] for it to the price book, or take it out of the pattern: until then cost and price are too low

due-before-promise =
    wanted on { $due }, ready on { $ready }, { $late ->
        [one] { $late } day
       *[other] { $late } days
    } late; of the time, { HOURS($labour_min) } are work and { MINUTES($waiting_min) } drying and curing, which no effort shortens{ LIST($why) }
    .remedy = agree on a later day, start earlier, or split the delivery

late-by-drying = ; the work alone would be done on { $done }: it is late because of { LIST($waits, by: ", ") }

late-by-work = ; even without drying the work would last until { $done }; it also waits for { LIST($waits, by: ", ") }

wait-after-step =
    { $is_named ->
        [yes] { $what }
       *[no] waiting
    } after "{ $step }" ({ MINUTES($waiting_min) })

to-buy-first = the shelf does not hold enough of { LIST($items, by: ", ") }; if ordered on { $ordered }, the last of it arrives on { $there }. If the work waits for it, the job is ready on { $later } and not on { $ready }
    .remedy = order at once, or begin with what does not need it

item-and-lead =
    { $item } ({ $lead ->
        [one] { $lead } day
       *[other] { $lead } days
    })

thread-size =
    { $item } of { FIGURE($diameter_mm, given: 1) } is { $is_thin ->
        [yes] too thin
       *[no] too thick
    } for its seams, which ask for { FIGURE($low_mm, decimals: 2, bare: 1) } to { FIGURE($high_mm, decimals: 2) }: { $basis }
    .remedy = take another thread, or another pitch; the range is from memory, so a sewn sample decides


## Records

-restore = put the last good backup in its place: estimator records restore FILE

-retire = retire the wrong one: estimator hide retire TAG

file = { $problem }
    .remedy = { -restore }

value = { $problem }
    .remedy = { -restore }

ledger-sum =
    { $item }: { $what ->
        [held] on hand
        [promised] promised
       *[value] worth
    } { $balance }, but the movements add up to { $movements }
    .remedy = { -restore }; or correct it by a count

batch-sum = batch { $batch } of { $item } has { $balance } left, but its movements add up to { $movements }
    .remedy = { -restore }

promise = { $amount } of { $item } are promised to job { $job }, which is { job-state }
    .remedy = { -restore }

leather-promise = { $hide } is promised to job { $job }, which is { job-state }
    .remedy = { -restore }

job-state =
    { $state ->
        [unknown] not in the records
       *[known] { $state }
    }

job-leather = job { $job } counts on { $hide }, which is not kept for it
    .remedy = drop the job and quote it again: estimator job drop { $job }

leather-money =
    { $was_cut ->
        [yes] { $hide } cost { $price }, but job { $job } paid { $paid } and its offcuts carry on { $kept }
       *[no] job { $job } paid for { $hide }, which was not cut for it
    }
    .remedy = { -restore }

outline = the outline of { $hide } is not an area, or was changed
    .remedy = { -restore }

flaw = flaw { $number } of { $hide } is not an area, or lies off the leather
    .remedy = { -restore }

zone = zone { $number } of { $hide } is not an area, or lies off the leather
    .remedy = { -restore }

offcuts-area = { LIST($offcuts, by: ", ") } are together larger than { $hide }, the hide they come from
    .remedy = { -retire }

offcut-outside = { $offcut } reaches beyond { $hide }, the hide it comes from
    .remedy = { -retire }

offcuts-overlap = { $offcut } and { $other } take up the same leather of { $hide }
    .remedy = { -retire }
