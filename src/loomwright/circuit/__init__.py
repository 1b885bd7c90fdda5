"""Direct-current networks: numbers in, numbers out.

network   the records: resistors, sources, loads, diodes, limited sources, converters
solve     one network, every element: volts, amperes, states, and what is wrong if it has no answer
ports     linear networks reduced once, asked many times
"""
