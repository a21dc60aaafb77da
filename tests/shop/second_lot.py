"""A second lot whose percentiles were worked out elsewhere: what it is, and the shop it is in; the steps are each test's own."""

SECOND_LOT = """
route = "as written"
[lot]
kind = "edge tabs"
weight = "650 g"
strips = "210"
tabs = "104"
length = "8 mm"
width = "1.5 mm"
counted = "both faces"
area-factor = "0.92/1/1.08"
gold = { thickness = "15/30/40 uin", density = "17.5 g/mL", fineness = "0.997" }
nickel = { thickness = "2.5/4/5 micron" }
copper = { thickness = "32/35/38 micron" }
[shop]
temperature = "28 degC"
pressure = "0.93 atm"
room = "60 m3"
fan = "20 m3/min"
hood = true
[shelf.nitric]
strength = "68 %"
"""
