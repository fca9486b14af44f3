# Steps of the work, and what is waited for after them.

step-cut = mark and cut
step-skive = skive welts and linings
step-dye-flat = dye the parts flat
step-edges = bevel and burnish edges before assembly
step-cement-flat = scuff, cement and press while flat
step-groove-flat = trim and groove while flat
step-punch-flat = punch while flat
step-stitch-flat = stitch while flat
step-hardware-flat = set hardware while flat
step-cement-closing = scuff, cement and press to close the sheath
step-groove-closing = trim and groove to close the sheath
step-punch-closing = punch to close the sheath
step-stitch-closing = stitch to close the sheath
step-hardware-closing = set hardware to close the sheath
step-level = level the closed edge
step-form = fit the wrapped blade and wet-form
step-dye-formed = dye after forming
step-darken = dye the edges darker
step-oil = oil
step-burnish = burnish the closed edge
step-fit = final fit

# A batch of both kinds goes two ways from the dyeing on.
step-of-way = { $step } ({ $way ->
    [formed] formed
   *[not-formed] not formed
})

wait-dye = dye drying
wait-edge-dye = edge dye drying
wait-cement = cement flashing off
wait-wet-leather = wet leather drying
wait-finish = finish curing
