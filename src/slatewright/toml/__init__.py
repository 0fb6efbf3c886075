"""TOML files of a person: read with the line of every fault, written back without loss."""
