"""The parts of the ledger's pages."""
