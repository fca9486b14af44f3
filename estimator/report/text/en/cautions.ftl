# Safety notes, by what a job uses. Sources: dust, IARC Monograph 100C (2012); chromium VI,
# Regulation (EU) 301/2014; the rest is common practice and safety data sheets.

caution-knife-and-awl = Cut away from the holding hand and never towards the body; wear a cut-resistant glove on the holding hand. An awl strikes through: keep the hand out of its way, and do not force it.

caution-sanding = Leather dust harms the nose and lungs, and work with it is classed as a cause of cancer (IARC Monograph 100C, 2012): sand with extraction and wear a dust mask.

caution-cement = Contact cement gives off vapour that burns and may harm nerves: no flame or spark, open the windows, keep it off the skin, and follow the supplier's safety data sheet. Water-borne cement is not harmless either.

caution-dye = Alcohol dye and finish burn and dry out the skin: ventilate, wear gloves, and keep soaked rags apart in a closed metal bin.

caution-wet-forming = Before wet forming, oil the customer's knife and wrap it in film: wet leather rusts steel. Secure the edge, and dry the sheath slowly, away from strong heat.

caution-retention = A sheath formed too tight can lock a blade in, one too loose drops it. Try the hold upside down over a soft surface, and see that the welt keeps the edge off the thread.

caution-chrome = Chrome-tanned leather and its salts can stain or corrode steel and bluing; do not store a blade in it.

caution-chrome-and-skin = Leather that touches the skin must hold less than 3 mg/kg of chromium VI where Regulation (EU) 301/2014 applies; ask the tannery for its test.

caution-law = Laws on carrying and selling knives differ from place to place and change; local codes and licensed practice come first. This estimate says nothing about whether a sheath is safe to carry: the maker tests each one.
