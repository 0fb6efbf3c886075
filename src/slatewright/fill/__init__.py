"""The fill room: prices, blending by real gas, banks, analysis, and the order of helium."""
