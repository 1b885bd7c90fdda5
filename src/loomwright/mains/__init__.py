"""The mains side: volts, currents and what opens them, at 50 or 60 Hz, by resistance alone.

records     links, feeds, devices, faults; net: volts and currents of one state
touch       what a person meets who touches a node
breakers    how soon a breaker opens; residual: how soon a residual current device does
clearing    what opens after a fault, in which order, and what stays live
loops       loop resistances and prospective currents
load        what may run together on a supply
lead        volts lost along a lead and the van's cables

Numbers and small records go in; nothing here knows what a plan is. Left out: reactance, the capacitance
of cables and filters, waveform and phase.
"""
