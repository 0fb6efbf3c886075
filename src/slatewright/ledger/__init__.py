"""The ledger: what a dive costs, and which way is cheaper."""
