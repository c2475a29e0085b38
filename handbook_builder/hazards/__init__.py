"""The hazards of a finished candle, reckoned from the components of its oils and dyes.

Plain values in, plain values out: no record, no page and no sentence is known here. Shares, limits
and factors are exact fractions, since a class begins *at* its limit. The rules are those of
Regulation (EC) 1272/2008 (CLP) for mixtures; each says its clause and how surely it was read:
`C` in the own text, `S` second-hand, `M` from memory, unconfirmed, `X` our own reading, which is
taken where the texts leave a choice and always on the safe side. Nothing here is legal advice.

The way in is `classify.classify` for one candle and `steps.steps` for a range of loads.
"""
