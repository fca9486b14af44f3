# Names of items, and of what a figure tells of one. Scripts find a figure in JSON by its name;
# where people read another one, it is the attribute read.

item = { $item }
item-lot = { $item }, lot { $lot }

item-of-hide = leather { $item }
item-of-hide-net = leather { $item }, net
item-of-hide-yield = leather { $item }, yield
item-net = { $item }, net
item-consumed = { $item }, consumed
item-charged = { $item }, charged
item-yield = { $item }, yield
item-per-sheath = leather, per sheath { $item }
    .read = leather per sheath, { $item }

item-by-multiplier = { $item }, by multiplier
item-by-geometry = { $item }, by stitch geometry
item-by-machine = { $item }, by machine lockstitch
item-size = { $item }, size

item-grain-side = { $item }, grain side
item-flesh-side = { $item }, flesh side
item-edges = { $item }, edges

item-worn = { $item }, worn

# Steps from the cost to the net price

price-cost = cost
price-markup = markup
price-margin = margin
price-minimum = up to the minimum charge
price-fee = payment fee
price-rounding = rounding

# What makes the holes of a seam

holes-one-side = iron from one side
holes-both-sides = iron from both sides
holes-awl = awl

# What is sold in another unit than it is used in

item-sold-otherwise = { $item } (used by the { $used }, sold by the { $sold })
