"""One module a page: its route, and the frozen context that its template is given."""
