"""What waxes and water are made of: enthalpy curves, limits, boiling points."""
