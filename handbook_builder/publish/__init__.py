"""The finished pages as a site: the only room that knows MkDocs and Jinja2."""
