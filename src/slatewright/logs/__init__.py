"""Logbooks: what people have dived, in and out."""
