"""The commented batch file a new run starts from."""

STARTER = """\
# A run of refinekit. Change what is yours, then:  refinekit plan {name}
# A figure is text with its unit. Where you are not sure write low/likely/high: "0.4/0.76/1.0 micron".

title = "first lot"

[lot]
kind   = "edge tabs"            # edge tabs, memory tabs, boards, pins
weight = "420 g"
area   = "1450/1600/1750 cm2"   # plated area, both faces: count x length x width
gold   = {{ thickness = "20/30/50 uin", fineness = "997 fine" }}
nickel = {{ thickness = "3/4/5 micron" }}
copper = {{ thickness = "30/35/40 micron" }}

[shop]
temperature = "20 degC"
altitude    = "200 m"
room        = "45 m3"           # the room the work stands in
fan         = "11 m3/min"       # what its fan draws out
hood        = true              # a working hood, sash down
law         = "us"              # whose limits are shown: us, eu, uk, none

# What stands on the shelf: strength for liquors, goodness for powders.
[shelf.hydrochloric]
strength = "20 Be"
on-hand  = "5 L"
price    = "4.20 /L"

[shelf.nitric]
strength = "68 %"
on-hand  = "250 mL"
price    = "18 /L"

[shelf.smb]
goodness = "90/97/99 %"
on-hand  = "500 g"
price    = "7 /kg"

# Steps left out are the usual route for this kind of lot; one written here takes its place in it.
[[step]]
do    = "leach"
air   = "2 L/min"
depth = "18 cm"
"""
