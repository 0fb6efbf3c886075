"""The command ``slatewright``: parse, call, render. No arithmetic of the trade stands here."""
