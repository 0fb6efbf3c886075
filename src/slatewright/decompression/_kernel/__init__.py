"""The compiled kernel: sixteen compartments, two inert gases, flat arrays, no objects.

Private to `decompression`, and the only place that knows the compiler. See `layout` for the arrays.
"""
