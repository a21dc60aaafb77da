"""The list of commands as text, so that showing it loads nothing: panel, then verb and card."""

PANELS: dict[str, dict[str, str]] = {
    "Before a run: what is in it, what will it take?": {
        "plan": "The whole run from a batch file: every step, gas, vessel, shopping, drum and gold.",
        "rehearse": "The same plan with what-if changes, side by side: only what differs.",
        "new": "Write a commented batch file to start from.",
        "lot": "Metal in a lot, from plated area, grade, karat or a filled mark.",
        "inquart": "Silver, sterling or copper to melt in, so that nitric can part the gold.",
        "vent": "The room's air minute by minute, hood and duct, when to go in again, how much at once.",
        "keep-apart": "May these two meet? What forms, and what to do instead.",
    },
    "During a run: what do I weigh and pour, what comes off?": {
        "leach": "Acid, oxidant and oxygen to take base metal off the gold.",
        "air": "Days on the air pump, the bath day by day, the pump for a wanted time, and what the air carries off.",
        "dissolve": "Gold into solution with the least nitric, or with peroxide or bleach.",
        "denox": "How much nitric is left, and what gets rid of it.",
        "drop": "Reductant for the gold, and everything else that eats it.",
        "rinse": "Decantations, washes of pulp and drag-out, by number or by target.",
        "melt": "Flux, crucible, heat and the size of the button.",
        "part": "Nitric to part an alloy: first and second boil, gas, and what silver stays.",
        "silver": "Silver as chloride, back to metal, or on a copper bar; palladium with dimethylglyoxime.",
        "fume": "Gas of a reaction: moles, litres, how fast, and the room's air.",
        "scrub": "Caustic for a fume, what slips past it, and what the spent liquor must never meet.",
        "pot": "What is in a vessel, where it came from and what it must not meet.",
    },
    "After a run: what did I get?": {
        "fineness": "How fine a bar is: weighed in water, by cornet or bead; karat, fineness, percent.",
        "account": "Expected against found, what the gap proves, where to look, and what a bar pays.",
        "log": "What was done, written down: a plan with what was different, a vessel filled, metal found, money.",
        "report": "What the book says: yields, losses, gold locked up, reagents against theory, waste, cost, a year on one page.",
    },
    "Waste: what becomes of the rest?": {
        "cement": "Precious metal out of spent liquor first, then copper on iron or aluminium.",
        "neutralise": "Alkali for spent acid: dose, heat, froth and what is left.",
        "sludge": "Solids, gel and cake from a liquor's metals, and the drum they fill.",
        "drum": "The drums from the book: contents, hazards, weight, days, what the law asks, and the paper they went with.",
        "manifest": "The paper for the drums: contents, hazards, dates, weights, the month's waste against the line.",
    },
    "The shop: what stands about, what does it cost?": {
        "bath": "The bath over its lots: what is in it, the next lot's fit, bleed, top up, air, measure, retire.",
        "stock": "The shelf from the book: what is on hand, bought, used, counted, thrown away, and what to buy.",
        "cost": "What a run costs, to the gram of gold; break-even grade; what to pay for a lot at a wanted margin.",
        "book": "The record itself: where it is, its events, whether it is whole, export, import, backup, void.",
    },
    "Chemistry: what is in this bottle, is this figure right?": {
        "strength": "One strength in every form: percent, Baume, density, mol/L, volumes.",
        "dilute": "Mix a reagent down: what to measure, what order, how hot.",
        "titrate": "What the drops say of acid, peroxide, metabisulfite, caustic or bleach; the curve to expect.",
        "balance": "Balance an equation in atoms and charge, with its half-reactions.",
        "molar": "Molar mass, make-up by mass, and moles to grams.",
        "sources": "Where a number comes from.",
        "check": "This program's figures beside outside ones: facts, equations, published cases.",
    },
    "This program: on paper, on the Tab key": {
        "manual": "All of the help as one page for man: every command, option and example.",
        "completion": "Words and values on the Tab key, for bash, zsh and fish.",
    },
}
"""Panels by what people ask, in the order of a run; a verb's card is the first line of its help."""

CARDS = {verb: card for cards in PANELS.values() for verb, card in cards.items()}
"""Every verb with its card."""
