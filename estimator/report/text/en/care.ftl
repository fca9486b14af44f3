# What the customer reads on the quote: care of a sheath, and what to note. Common practice, no
# source.

care-leather = Leather is a natural material: shade and grain differ from piece to piece.

care-cleaning = Wipe with a damp cloth and let it dry in the air, away from heat. Wax or oil it thinly when it looks dry.

care-storing = Do not store the knife in the sheath for long: leather holds damp, and the blade may rust.

care-wet-formed = The sheath is formed to its knife: soaking or heat will undo the fit.

note-retention = Check before first use, over a soft surface, that the knife stays in when the sheath is turned over. Keep fingers off the edge side when drawing and returning the blade.

note-law = Rules on carrying knives differ from place to place: please check those where you live.
