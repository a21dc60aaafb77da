"""The shop's record over the years: one file of events that are only ever added, and what is reckoned from them."""
