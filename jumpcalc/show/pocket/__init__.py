"""The pocket page: one file for a phone's browser, with its template, style and script beside this."""
