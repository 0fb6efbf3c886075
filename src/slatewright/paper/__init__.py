"""Charts and paper: the profile as SVG, the slate as PDF, under one theme."""
