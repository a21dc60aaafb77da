"""Aqueous equilibrium of a liquor: what dissolves, what falls, and how much base brings it to a pH.

`liquor` says what is in the water, `constants` what is known about it, `state.at_ph` what it comes to at a pH,
`dose.dose_to_ph` how much of a base gets it there, `curve.curve` the whole way, `window.best_window` the pH with least
metal left, `spread.dose_spread` the same answer on all the constants there are. Figures are mol per litre of liquor, a
litre counting as one kilogram of water. Everything runs over many liquors and many pH at once: arrays of shape (n,).
"""
