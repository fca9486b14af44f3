# Inputs that would change a figure if they were a tenth more.

input-price-paid = price paid for { $hide }
input-used-up = leather used up of { $hide }
input-thickness = thickness of the leather
input-pitch = stitch pitch
input-labour-per-hour = labour per hour
input-overhead = overhead
input-overhead-per-hour = overhead per hour
input-scrap = scrap
input-supplies = supplies
input-minimum-charge = minimum charge
input-tax = tax
input-fee = payment fee
input-fee-fixed = fixed payment fee
input-deposit = deposit
input-profit = { $method ->
    [markup] markup
    [margin] margin
   *[other] { $method }
}
input-rate = price of { $item }
input-day = hours of a working day
input-use = [use] { $rate }
input-none = no input
