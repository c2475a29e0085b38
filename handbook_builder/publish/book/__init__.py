"""The printed book: the finished pages of an edition, set anew on paper with page numbers.

What it says was told, cleaned and searched as the site's own pages; here it is only set.
"""
