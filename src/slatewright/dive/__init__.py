"""The dive: plan file, travel gas, schedule, hazards, the document that anyone can re-check."""
