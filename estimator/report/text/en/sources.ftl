# What figures rest on: publications, common practice, the shop itself.

source-own = the shop's own
source-own-jobs = the shop's own jobs, weighed together with the book's rate
source-layout = the proved layout
source-pattern = counted in the pattern

source-practice = common practice, no source
source-assumption = assumption, no published figure: measure one known area and set your own
source-bench-time = assumption: the shop's own to time and change

source-saddle-stitch = geometry of the saddle stitch, the same number as the published lockstitch formula 2 + 2 x thickness x stitches per unit
source-lockstitch = geometry of stitch type 301 of ISO 4915
source-sewing-room-waste = 10 to 15 % waste is published for sewing rooms (apparelscience.com)
source-stitch-layout = stitch layout: length over pitch, rounded, begun again at each corner; one hole more on a seam with two ends
source-strikes = the first tine goes into the last hole of the strike before, so each strike adds one hole less than it has tines; common practice, no source

source-thread-multiplier = rules of thumb of the trade: 2.5, 4 and 6 to 8 times the seam
source-thread-tail = tails by rule of thumb: one foot more for both needles
source-thread-waste = 10 to 15 % waste is published for sewing rooms; by hand the tails are the waste
source-thread-over-pitch = from memory, no source at hand: { FIGURE(0.6, "mm") } at { FIGURE(3, "mm") }, { FIGURE(0.8, "mm", bare: 1) } at { FIGURE(4, "mm", bare: 1) }, { FIGURE(1, "mm", decimals: 1, bare: 1) } at { FIGURE(5, "mm", bare: 1) }
source-stack-share = the share of the stack from memory, no source at hand

source-glue-spread = glue makers' data: { FIGURE(200, "ml", per: "m2", bare: 1) } to { FIGURE(300, "ml", per: "m2") } of joint for both faces; { FIGURE(5, "m2", per: "l") }
source-glue-coats = glue makers' data: a second coat on thirsty leather
source-glue-faces = contact cement coats both faces, paste or white glue one
source-cement-open = glue makers' data: touch dry in 10 to 40 min

source-dyed-dry = dyed dry; damp leather takes less and more evenly: common practice, no source
source-tannage-reference = the tannage that the others are compared with
source-faces-oiled = faces are oiled, not waxed; { FIGURE(10, "g", per: "m2", bare: 1) } to { FIGURE(20, "g", per: "m2") } from memory, no source at hand

source-saddlery-time = flat-rate tables of a saddle makers' association (cut 3.75 to 6.25 min, edge and top coat 9 to 12.5 min per strap), taken by length; the shop's own to change
source-form-dry = common practice, no source: overnight at least, 24 to 48 h
source-finish-cure = common practice for oil; water-borne finish: 72 h to full resistance
source-drying = a tanners' journal (sltc.org, drying of chrome-tanned leather of { FIGURE(2, "mm", bare: 1) } to { FIGURE(4.5, "mm") }): times rise linearly with thickness, but less than in proportion; the share is an assumption

source-hide-map = the hide's map: price_paid and shipping
source-hide-maps = the hides' maps: price_paid and shipping
source-book-labour = the shop's own price book: [labour] per_hour
source-book-supplies = the shop's own price book: [labour] supplies_share
source-book-scrap = the shop's own price book: [labour] scrap_share
source-book-overhead = the shop's own price book: [labour] overhead_share or [overhead]
source-book-overhead-table = the shop's own price book: [overhead]
source-book-rate = the shop's own price book: [[rate]] for { $item }{ $is_bought ->
    [yes] , bought from { $supplier }
   *[no] {""}
}
