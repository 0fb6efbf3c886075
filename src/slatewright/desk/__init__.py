"""The desk: pages and a programming interface over the store, on this machine."""
