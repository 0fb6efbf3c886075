"""The parts of the fill-room pages: what is kept, computed, drawn, ticked and accounted for."""
