# How figures came about: the formula with its numbers in it.

thread-by-rule = seams { FIGURE($seam_m, decimals: 3) } x { $multiplier }
