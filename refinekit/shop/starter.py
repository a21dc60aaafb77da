"""The commented batch file a new run starts from."""

STARTER = """\
# A run of refinekit. Change what is yours, then:  refinekit plan {name}
# A figure is text with its unit. Where you are not sure write low/likely/high: "0.4/0.76/1.0 micron".
# decimal = "comma"             # for figures as "2,5 g" in this file, whatever the locale of the shell

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
bottle   = "500 g"              # size it is bought in, for  refinekit stock {name}
reorder  = "200 g"              # buy more at this
# opened  = "2026-03-05"
# expires = "2028-01-31"

# What the shop can carry, for  refinekit plan {name} --largest.  Leave out what does not limit you.
[limits]
vessel = "10 L"                 # the largest beaker or bucket
days   = "10 d"                 # longest the air may run
drum   = "20 L"                 # room left in the waste drum
# month        = "100 kg"       # hazardous waste a month may make; the law's line stands in
# month-so-far = "12 kg"
# hood         = "11 m3/min"    # opening times speed

# What a run costs beside its reagents, for  refinekit cost {name}.  Money is whatever the shelf's prices are in.
# gold-price = "60 /g"         (at the top of the file, beside title; silver-price, palladium-price and platinum-price too)
# [costs]
# electricity = "0.30 /kWh"
# pump        = "12 W"         # what the air pump draws
# energy      = "2/3/4 kWh"    # hot plate, furnace, fan
# labour      = "20 /h"
# hours       = "4/6/8 h"
# filters     = "3"            # filters, gloves, crucible
# waste       = "3.50 /kg"     # hauling
# paid        = "97 %"         # share of the gold that is paid for
# margin      = "20 %"         # share of what it brings that is to be left over

# How figures with a range are drawn by  refinekit plan {name} --samples 10000.  All of it may be left out: triangular, each on
# its own. Figures are called as the plan calls them, or by section and key: "lot.gold-thickness", "dissolve.no-share".
# [unknowns]
# shape    = "triangular"       # of all: triangular, even, normal, lognormal (normal: the ends are two deviations off)
# shapes   = {{ "gold thickness" = "lognormal" }}
# together = [["nickel thickness", "copper thickness"]]     # one unknown: they rise and fall together, in the corners too
# linked   = [["gold thickness", "nickel thickness", 0.5]]  # rank correlation, -1 to 1

# Steps left out are the usual route for this kind of lot; one written here takes its place in it.
[[step]]
do    = "leach"
air   = "2 L/min"
depth = "18 cm"
"""
