"""A candle's labels at their exact size: laid out from plain values, drawn as SVG and PDF.

What a label says is made elsewhere. Nothing here knows a record, a rule or a page.
"""
