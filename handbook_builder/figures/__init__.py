"""What is computed: one module a subject, plain values in, plain values out.

Floats are in the unit that their name ends with. A value that no caller may pass is a mistake of
the program, and raises `ValueError`; what a studio wrote wrongly is caught before it gets here.
"""
